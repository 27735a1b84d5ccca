#!/bin/sh
# Do the tests notice when the arithmetic is wrong? Turns one operator or constant of src/solve and src/check at
# a time into another, and runs the tests, the quickest first, until one fails:
#     tests/mutate.sh BUILD COUNT
# COUNT mutants, spread evenly over all there are, the same ones in every run. BUILD/report lists them with the
# test that noticed; what survives needs a test, or changes nothing that can be seen. Nothing of the tree is
# touched. The last line is "N of M killed"; fails below 90 %.
cd "$(dirname "$0")/.." || exit 1
build=$1
count=$2
cc=${CC:-cc}
flags="-std=c11 -D_POSIX_C_SOURCE=200809L -O1 -ffp-contract=off -DFAREND_FAULTS -fPIC"
libs="-lyaml -lcsv -lklu -lbtf -lamd -lcolamd -lsuitesparseconfig -lm"
rm -rf "$build"
mkdir -p "$build/lib" "$build/share" "$build/bin" || exit 1
build=$(cd "$build" && pwd)

object() { echo "$build/lib/$(echo "$1" | tr / _).o"; }

# The library as a shared one, so that a mutant costs one compilation and no test is linked again
library() { $cc -shared -o "$build/libfarend.so" "$build"/lib/*.o $libs; }

export cc flags build
for source in src/*/*.c; do
	case $source in src/cli/*) ;; *) echo "$source $(object "$source")" ;; esac
done | xargs -P "$(nproc)" -L 1 sh -c '$cc $flags -Iinclude -Isrc -c -o "$1" "$0"' || exit 1
library || exit 1
for source in tests/*.c tests/oracle/*.c; do
	grep -q '^int main' "$source" ||
		echo "$source $build/share/$(basename "$source").o"
done | xargs -P "$(nproc)" -L 1 sh -c '$cc $flags -Iinclude -Isrc -I. -Itests -c -o "$1" "$0"' || exit 1
for source in $(grep -l '^int main' tests/unit/*.c tests/oracle/*.c); do
	[ "$source" = tests/unit/test_failure.c ] || echo "$source $build/bin/$(basename "$source" .c)"
done | xargs -P "$(nproc)" -L 1 sh -c '$cc $flags -Iinclude -Isrc -I. -Itests -o "$1" "$0" "$build"/share/*.o \
	-L"$build" -lfarend -Wl,-rpath,"$build" -Wl,--as-needed -lcmocka -ljansson -lglpk '"$libs" || exit 1
$cc $flags -Iinclude -Isrc -o "$build/farend" src/cli/*.c -L"$build" -lfarend -Wl,-rpath,"$build" $libs || exit 1

# Tests that pass as things are, by their time; those of more than 20 s are left out.
for test in "$build"/bin/*; do
	start=$(date +%s%N)
	if timeout 20 "$test" >"$build/out" 2>&1; then
		echo "$((($(date +%s%N) - start) / 1000000)) $test"
	else
		echo "left out: $(basename "$test")" >&2
	fi
done | sort -n >"$build/tests"
last=
FAREND=$build/farend tests/cases.sh >"$build/out" 2>&1 </dev/null && last=cases.sh
[ -n "$last" ] || echo "left out: cases.sh" >&2

# file line column length replacement, in places that are no comment, text or directive
awk '
	function add(at, length_, to) { print FILENAME, FNR, at, length_, to }
	BEGIN {
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
		gsub(/"([^"\\]|\\.)*"/, "\"\"", code)
		if (code != $0)
			next
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
		rest = code
		done = 0
		while (match(rest, /[^ \t();,!]+/)) {
			word = substr(rest, RSTART, RLENGTH)
			at = done + RSTART
			before = at > 1 ? substr(code, at - 1, 1) : ""
			after = substr(code, at + RLENGTH, 1)
			if (word in other && (word ~ /[a-z]/ || (before == " " && after == " ")))
				add(at, RLENGTH, other[word])
			else if (word ~ /^[0-9]+$/ && code !~ /\[[0-9]*\] =/)
				add(at, RLENGTH, word + 1)
			else if (word ~ /^[0-9]+\.[0-9]+$/)
				add(at, RLENGTH, word * 2)
			done += RSTART + RLENGTH - 1
			rest = substr(rest, RSTART + RLENGTH)
		}
	}' src/solve/*.c src/check/*.c >"$build/all"
awk -v all="$(wc -l <"$build/all")" -v count="$count" '
	int(NR * count / all) > int((NR - 1) * count / all)' "$build/all" >"$build/chosen"

# The test that fails, or nothing
killer()
{
	while read -r time test; do
		timeout $((5 + time / 100)) "$test" >"$build/out" 2>&1 </dev/null || { basename "$test"; return; }
	done <"$build/tests"
	[ -z "$last" ] || FAREND=$build/farend timeout 300 "tests/$last" >"$build/out" 2>&1 </dev/null || echo "$last"
}

killed=0
tried=0
: >"$build/report"
while read -r file line at length to; do
	out=$(object "$file")
	cp "$out" "$build/sound.o"
	awk -v line="$line" -v at="$at" -v length_="$length" -v to="$to" '
		FNR == line { $0 = substr($0, 1, at - 1) to substr($0, at + length_) }
		{ print }' "$file" >"$build/mutant.c"
	what="$file:$line: $(sed -n "${line}p" "$build/mutant.c" | sed 's/^[ \t]*//')"
	if $cc $flags -Iinclude -Isrc -I"$(dirname "$file")" -c -o "$out" "$build/mutant.c" 2>"$build/out" && library; then
		tried=$((tried + 1))
		by=$(killer)
		[ -n "$by" ] && killed=$((killed + 1))
		echo "${by:-SURVIVED}  $what" | tee -a "$build/report"
	fi
	cp "$build/sound.o" "$out"
done <"$build/chosen"
echo "$killed of $tried killed"
[ "$tried" -gt 0 ] && [ $((killed * 10)) -ge $((tried * 9)) ]
