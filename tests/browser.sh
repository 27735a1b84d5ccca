#!/bin/bash
# Reports as people get them: valid, shown by a real browser on a phone and on a desk, printed on A4 and
# Letter, and made quickly. What it needs comes with `make deps-test`; what is missing fails. Prints TAP.
cd "$(dirname "$0")/.." || exit 1
farend=$(realpath "${FAREND:-build/farend}")
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
CHROMIUM=${CHROMIUM:-$(command -v chromium || command -v chromium-browser)}
export CHROMIUM
count=0
failed=0

verdict() # RESULT NAME
{
	count=$((count + 1))
	if [ "$1" -eq 0 ]; then
		echo "ok $count - $2"
	else
		echo "not ok $count - $2"
		failed=1
	fi
}

# Numbers the lines "ok NAME" and "not ok NAME" of a helper; other lines pass.
numbered()
{
	while read -r line; do
		case $line in
		"ok "*) verdict 0 "${line#ok }" ;;
		"not ok "*) verdict 1 "${line#not ok }" ;;
		*) echo "$line" ;;
		esac
	done <"$work/tap"
}

helper() # NAME SCRIPT WORDS...
{
	node "tests/browser/$2" "${@:3}" >"$work/tap" 2>"$work/err"
	local status=$?
	numbered
	[ $status -eq 0 ] || sed 's/^/# /' "$work/err" | head -20
	verdict $status "$1 runs to its end"
}

for tool in "${CHROMIUM:-chromium}" node xmllint pdftotext pdftoppm tests/browser/node_modules/.bin/html-validate; do
	command -v "$tool" >"$work/out"
	verdict $? "there is $(basename "$tool")"
done
[ $failed -eq 0 ] || { echo "# 'make deps-test' installs what is missing"; echo "1..$count"; exit 1; }

tests/browser/sixty.sh >"$work/sixty.yaml"
cp fixtures/jobs/{boot-room,boot-room-fixed,hostile,ring}.yaml "$work"
sed 's/power: 60 W, max_current: 5 A/power: 30 W/' fixtures/jobs/boot-room.yaml >"$work/overloaded.yaml"
declare -A most_pages=([boot-room]=12 [boot-room-fixed]=12 [overloaded]=12 [hostile]=14 [ring]=14 [sixty]=42)
names="boot-room boot-room-fixed overloaded hostile ring sixty"
for name in $names; do
	for what in "report -o $work/$name.html" "report --format svg -o $work/$name.svg" \
		"check --format json -o $work/$name.json"; do
		# shellcheck disable=SC2086
		"$farend" $what "$work/$name.yaml"
		[ $? -le 1 ]
		verdict $? "$name: ${what%% *} is made"
	done
	xmllint --noout --nonet "$work/$name.svg" 2>"$work/err"
	verdict $? "$name: the drawing is well-formed XML"
	(cd tests/browser && node_modules/.bin/html-validate --config html-validate.json "$work/$name.html") >"$work/out" 2>&1
	status=$?
	[ $status -eq 0 ] || sed 's/^/# /' "$work/out" | head -20
	verdict $status "$name: the page is valid HTML"
done

helper "the look in the browser" report.mjs "$work" $names
for name in $names; do
	for paper in A4 Letter; do
		pdf=$work/$name-$paper.pdf
		pdftotext -bbox "$pdf" "$work/bbox.html"
		pdftoppm -gray -r 36 "$pdf" "$work/page"
		helper "the look at $name on $paper" paper.mjs "$name on $paper" ${most_pages[$name]} "$work/$name.json" \
			"$work/bbox.html" "$work"/page-*.pgm
		rm -f "$work"/page-*
	done
done

# The report of sixty strips, without its lists, in under three times the time of `check`.
elapsed() # WORDS...: microseconds of twenty runs
{
	local start=${EPOCHREALTIME/./}
	for _ in {1..20}; do
		"$farend" "$@" -o "$work/timed" "$work/sixty.yaml"
	done
	echo $((${EPOCHREALTIME/./} - start))
}
elapsed check >"$work/out"
check=$(elapsed check)
report=$(elapsed report --no-lists)
echo "# check $((check / 20)) us, report $((report / 20)) us"
[ "$report" -lt $((3 * check)) ]
verdict $? "sixty strips: the report takes under three times as long as the check"
echo "1..$count"
exit $failed
