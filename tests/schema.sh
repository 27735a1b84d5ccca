#!/bin/bash
# The JSON Schema of a job file against every fixture: what is right must pass, what is wrong must not, but
# for the mistakes that no schema can see (tests/schema/unseen.txt). Two validators, which come with
# `make deps-test`; what is missing fails. Prints TAP.
cd "$(dirname "$0")/.." || exit 1
farend=${FAREND:-build/farend}
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
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

# Numbers the lines "ok NAME" and "not ok NAME" of a program; other lines pass.
helper() # NAME COMMAND...
{
	local line status
	"${@:2}" >"$work/tap" 2>"$work/err"
	status=$?
	while read -r line; do
		case $line in
		"ok "*) verdict 0 "${line#ok }" ;;
		"not ok "*) verdict 1 "${line#not ok }" ;;
		*) echo "$line" ;;
		esac
	done <"$work/tap"
	[ $status -eq 0 ] || sed 's/^/# /' "$work/err" | head -20
	verdict $status "$1 runs to its end"
}

python=
for name in python3 /usr/bin/python3; do
	"$name" -c 'import jsonschema, yaml' 2>"$work/err" && python=$name
done
[ -n "$python" ]
verdict $? "there is python3 with jsonschema and yaml"
[ -d tests/browser/node_modules/ajv ] && command -v node >"$work/out"
verdict $? "there is node with ajv"
if [ $failed -ne 0 ]; then
	echo "# 'make deps-test' installs what is missing"
	echo "1..$count"
	exit 1
fi

"$farend" explain --schema -o "$work/schema.json"
verdict $? "the schema is written"
"$farend" explain --schema >"$work/again.json" && cmp -s "$work/schema.json" "$work/again.json"
verdict $? "the same on standard output"
"$farend" explain --schema far-end-dim >"$work/out" 2>"$work/err"
[ $? -eq 2 ] && [ ! -s "$work/out" ] && grep -q -- '--schema stands alone' "$work/err"
verdict $? "a name beside --schema is wrong usage"
"$farend" new -o "$work/starter.yaml"

helper "python's validator" "$python" tests/schema/validate.py "$work/schema.json" tests/schema/unseen.txt \
	"$work/documents" "$work/starter.yaml" tests/schema/good.yaml
helper "the second validator" node tests/schema/validate.mjs "$work/schema.json" "$work/documents"
echo "1..$count"
[ $failed -eq 0 ]
