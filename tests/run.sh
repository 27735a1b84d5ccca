#!/bin/sh
# Runs test programs and scripts, one after another, and counts what they report:
#     tests/run.sh PROGRAM...
# Each prints TAP ("ok 1 - name", "not ok 2 - name"); one that prints none counts as a single test by
# its exit status. A skipped test, and a program that ends badly without saying which test failed,
# count as failed. The closing line is "N passed, N failed". $RUNNER, if set, runs each program.
cd "$(dirname "$0")/.." || exit 1
CMOCKA_MESSAGE_OUTPUT=TAP
export CMOCKA_MESSAGE_OUTPUT
log=$(mktemp) || exit 1
trap 'rm -f "$log"' EXIT
passed=0
failed=0
for program in "$@"; do
	case $program in /*) ;; *) program=./$program ;; esac
	${RUNNER:-} "$program" >"$log" 2>&1
	status=$?
	good=$(grep -E '^ok( |$)' "$log" | grep -vc '# SKIP')
	bad=$(($(grep -cE '^not ok( |$)' "$log") + $(grep -cE '^ok .*# SKIP' "$log")))
	if [ $((good + bad)) -eq 0 ] && [ "$status" -eq 0 ]; then
		good=1
	elif [ "$bad" -eq 0 ] && [ "$status" -ne 0 ]; then
		bad=1
	fi
	if [ "$bad" -gt 0 ]; then
		grep -vE '^ok( |$)' "$log"
		echo "FAILED  $program (exit status $status)"
	else
		printf '%6d passed  %s\n' "$good" "$program"
	fi
	passed=$((passed + good))
	failed=$((failed + bad))
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
