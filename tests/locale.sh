#!/bin/bash
# The same bytes whatever the locale: German writes a comma where the point belongs, and Turkish has an i of
# its own for capitals. Prints TAP.
. "${0%/*}/tap.sh"
for name in de_DE tr_TR; do
	is "$name can be made (package locales)" localedef -i $name -f UTF-8 "$work/$name.UTF-8"
done
export LOCPATH=$work

# LOCALE WORDS...: status and both streams
run()
{
	local locale=$1
	shift
	LC_ALL=$locale LANG=$locale LANGUAGE=${locale%%.*} "$farend" "$@" </dev/null
	echo "status $?"
}

is "printf would write a comma" test "$(LC_ALL=de_DE.UTF-8 printf '%.1f' 1,5 2>/dev/null)" = 1,5
each()
{
	run C "$@" >"$work/c" 2>&1
	for locale in de_DE.UTF-8 tr_TR.UTF-8; do
		run $locale "$@" >"$work/other" 2>&1
		is "$locale: $*" cmp "$work/c" "$work/other"
	done
}

demo=fixtures/jobs/boot-room.yaml
for format in text json csv; do
	each check --format $format $demo
	each check --format $format --tolerance --samples 50 $demo
	each size --format $format $demo
	each cut --format $format --offcuts fixtures/parts/offcuts.csv $demo
	each order --format $format --spare '12.5 %' $demo
	each schedule --format $format $demo
	each verify --format $format --meter-gain '0.7 %' $demo fixtures/built/boot-room.csv
	each check --format $format $demo fixtures/jobs/*.yaml
done
each schedule --format html $demo
each report $demo
each report --format svg $demo
each explain
each explain --schema
each explain far-end-dim
each help check
each new
each chekc $demo
each check --colour=always --fromat $demo
each check no-such-file.yaml
for bad in fixtures/bad/*.yaml; do
	each check "$bad"
done
done_testing
