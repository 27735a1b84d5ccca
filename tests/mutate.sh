#!/bin/sh
# Do the tests notice when the arithmetic is wrong? Turns one operator or constant of src/solve and src/check at
# a time into another, and runs the tests, the module's own and the quickest first, until one fails:
#     tests/mutate.sh BUILD COUNT [SAMPLE]
# COUNT mutants, drawn from all there are by their own text, so that they stay the same when other lines change;
# SAMPLE 1, 2 .. are others than those of SAMPLE 0. As many are tried at a time as there are processors; a minute of theirs each is the most that
# one takes. BUILD/report lists them with the test that noticed, as it goes. What survives needs a test, or is code
# that nothing needs, or changes nothing that can be seen: such go into tests/mutate.keep, with the reason, and are
# left out from then on. Nothing of the tree is touched. The last line is "N of M killed"; fails below 90 %.
cd "$(dirname "$0")/.." || exit 1
build=$1
count=$2
sample=${3:-0}
cc=${CC:-cc}
workers=$(nproc)
flags="-std=c11 -D_POSIX_C_SOURCE=200809L -O1 -ffp-contract=off -DFAREND_FAULTS -fPIC"
watch="-fsanitize=undefined -fsanitize-undefined-trap-on-error"
libs="-lyaml -lcsv -lklu -lbtf -lamd -lcolamd -lsuitesparseconfig -lm"
rm -rf "$build"
mkdir -p "$build/lib" "$build/share" "$build/bin" || exit 1
build=$(cd "$build" && pwd)
export cc flags watch build LD_LIBRARY_PATH="$build"

object() { echo "$(echo "$1" | tr / _).o"; }

# The library as a shared one, so that a mutant costs one compilation and no test is linked again. Undefined
# behaviour traps in it.
for source in src/*/*.c; do
	case $source in src/cli/*) ;; *) echo "$source $build/lib/$(object "$source")" ;; esac
done | xargs -P "$workers" -L 1 sh -c '$cc $flags $watch -Iinclude -Isrc -c -o "$1" "$0"' || exit 1
$cc -shared -o "$build/libfarend.so" "$build"/lib/*.o $libs || exit 1
for source in tests/*.c tests/oracle/*.c; do
	grep -q '^int main' "$source" ||
		echo "$source $build/share/$(basename "$source").o"
done | xargs -P "$workers" -L 1 sh -c '$cc $flags -Iinclude -Isrc -I. -Itests -c -o "$1" "$0"' || exit 1
for source in $(grep -l '^int main' tests/unit/*.c tests/oracle/*.c); do
	[ "$source" = tests/unit/test_failure.c ] || echo "$source $build/bin/$(basename "$source" .c)"
done | xargs -P "$workers" -L 1 sh -c '$cc $flags -Iinclude -Isrc -I. -Itests -o "$1" "$0" "$build"/share/*.o \
	-L"$build" -lfarend -Wl,--as-needed -lcmocka -ljansson -lglpk '"$libs" || exit 1
$cc $flags -Iinclude -Isrc -o "$build/farend" src/cli/*.c -L"$build" -lfarend $libs || exit 1

# Tests that pass as things are, by their time; those of more than 20 s are left out.
for test in "$build"/bin/*; do
	start=$(date +%s%N)
	if timeout 20 "$test" >"$build/out" 2>&1 </dev/null; then
		echo "$((($(date +%s%N) - start) / 1000000)) $test"
	else
		echo "left out: $(basename "$test")" >&2
	fi
done | sort -n >"$build/tests"
last=
FAREND=$build/farend tests/cases.sh >"$build/out" 2>&1 </dev/null && last=cases.sh
[ -n "$last" ] || echo "left out: cases.sh" >&2

# number file line column length replacement, in places that are no comment, text or directive; not the size of
# an allocation, where more than is used changes nothing. The number is a sum over the text, to draw lots by.
LC_ALL=C awk '
	function add(at, length_, to,    text, i, sum) {
		text = to at FILENAME $0
		for (i = 1; i <= length(text); i++)
			sum = (sum * 31 + index(letters, substr(text, i, 1))) % 1000003
		print sum, FILENAME, FNR, at, length_, to
	}
	BEGIN {
		for (i = 32; i < 127; i++)
			letters = letters sprintf("%c", i)
		split("+ - * / < <= > >= == != && || += -= *= /=", from, " ")
		split("- + / * <= < >= > != == || && -= += /= *=", to, " ")
		for (i in from)
			other[from[i]] = to[i]
		other["true"] = "false"
		other["false"] = "true"
	}
	{ code = $0 }
	/^[ \t]*#/ || /static_assert|[ \t]assert\(|include/ { next }
	{
		sub(/\/\*.*\*\//, "", code)
		if (in_comment) {
			if (code ~ /\*\//)
				in_comment = 0
			next
		}
		if (code ~ /\/\*/) {
			in_comment = 1
			next
		}
		if (code ~ /"/)
			next
		rest = code
		done = 0
		while (match(rest, /[^ \t();,!]+/)) {
			word = substr(rest, RSTART, RLENGTH)
			at = done + RSTART
			before = at > 1 ? substr(code, at - 1, 1) : ""
			after = substr(code, at + RLENGTH, 1)
			if (word in other && (word ~ /[a-z]/ || (before == " " && after == " ")))
				add(at, RLENGTH, other[word])
			else if (word ~ /^[0-9]+$/ && code !~ /\[[0-9]*\] =|arena_array/)
				add(at, RLENGTH, word + 1)
			else if (word ~ /^[0-9]+\.[0-9]+$/)
				add(at, RLENGTH, word * 2)
			done += RSTART + RLENGTH - 1
			rest = substr(rest, RSTART + RLENGTH)
		}
	}' src/solve/*.c src/check/*.c | LC_ALL=C sort -n | cut -d' ' -f2- >"$build/all"
tail -n "+$((sample * count + 1))" "$build/all" | head -n "$count" >"$build/chosen"

# The test that fails, or nothing
killer() # FOLDER MODULE
{
	{ grep "/test_$2\$" "$build/tests"; grep -v "/test_$2\$" "$build/tests"; } >"$1/tests"
	while read -r time test; do
		timeout $((5 + time / 100)) "$test" >"$1/out" 2>&1 </dev/null || { basename "$test"; return; }
	done <"$1/tests"
	[ -z "$last" ] || FAREND=$build/farend timeout 300 "tests/$last" >"$1/out" 2>&1 </dev/null || echo "$last"
}

# Tries every mutant of its share; one line for each that compiles
worker() # NUMBER
{
	own=$build/$1
	mkdir "$own"
	export LD_LIBRARY_PATH="$own"
	awk -v n="$workers" -v me="$1" 'NR % n == me' "$build/chosen" |
	while read -r file line at length to; do
		out=$(object "$file")
		awk -v line="$line" -v at="$at" -v length_="$length" -v to="$to" '
			FNR == line { $0 = substr($0, 1, at - 1) to substr($0, at + length_) }
			{ print }' "$file" >"$own/mutant.c"
		was=$(sed -n "${line}s/^[ 	]*//p" "$file")
		is=$(sed -n "${line}s/^[ 	]*//p" "$own/mutant.c")
		if file=$file was=$was is=$is awk -v RS= -F '\n' '
			$1 == ENVIRON["file"] && $2 == "- " ENVIRON["was"] && $3 == "+ " ENVIRON["is"] { found = 1 }
			END { exit !found }' tests/mutate.keep; then
			echo "kept  $file:$line: $is" | tee -a "$build/report"
			continue
		fi
		$cc $flags $watch -Iinclude -Isrc -I"$(dirname "$file")" -c -o "$own/mutant.o" "$own/mutant.c" 2>"$own/out" &&
			$cc -shared -o "$own/libfarend.so" "$own/mutant.o" \
				$(ls "$build"/lib/*.o | grep -v "/$out\$") $libs || continue
		start=$(date +%s)
		by=$(killer "$own" "$(basename "$file" .c)")
		echo "${by:-SURVIVED}  $file:$line: $is  ($(($(date +%s) - start)) s)" | tee -a "$build/report"
	done
}

: >"$build/report"
for number in $(seq 0 $((workers - 1))); do
	worker "$number" &
done
wait
left=$(grep -c '^kept ' "$build/report")
survived=$(grep -c '^SURVIVED ' "$build/report")
tried=$(($(wc -l <"$build/report") - left))
echo "$left left out by tests/mutate.keep; $((tried - survived)) of $tried killed"
[ "$tried" -gt 0 ] && [ $(((tried - survived) * 10)) -ge $((tried * 9)) ]
