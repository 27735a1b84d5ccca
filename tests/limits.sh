#!/bin/bash
# The limits of docs/limits.md: just below, at, and just above each. Limits of attributes are in
# tests/unit/test_limits.c. Prints TAP.
. "${0%/*}/tap.sh"
job=$work/job.yaml
mib16=16777216
"$farend" new -o "$work/starter.yaml"

# KIND NAME: the mistake is named, or, with "no KIND", is not
names() { is "$2" grep -qF "[$1]" "$work/err"; }
no_name() { is "$2" hasnt -F "[$1]" "$work/err"; }

# FILE SIZE: fills a file up with blanks in lines of 1000
fill()
{
	local missing=$(($2 - $(stat -c %s "$1")))
	awk -v n="$missing" 'BEGIN {
		line = sprintf("%999s\n", "")
		for (; n >= 1000; n -= 1000)
			printf "%s", line
		if (n > 0)
			printf "%*s\n", n - 1, ""
	}' >>"$1"
}

# Bytes of a file
for above in -1 0 1; do
	size=$((mib16 + above))
	status=$((above > 0 ? 3 : 0))
	cp "$work/starter.yaml" "$job"
	fill "$job" $size
	is "$size bytes were made" same "$(stat -c %s "$job")" $size
	gives $status "job file of $size bytes" check "$job"
	"$farend" check - <"$job" >"$work/out" 2>"$work/err"
	is "job of $size bytes from standard input" same $? $status
	printf 'strip_type,length\n' >"$work/table.csv"
	fill "$work/table.csv" $size
	gives $status "offcuts of $size bytes" cut --offcuts "$work/table.csv" "$work/starter.yaml"
	printf 'item,length\n' >"$work/table.csv"
	fill "$work/table.csv" $size
	gives $status "as-built file of $size bytes" check --built "$work/table.csv" "$work/starter.yaml"
	{ printf 'catalogue: table.csv\n'; cat "$work/starter.yaml"; } >"$job"
	printf 'kind,id\n' >"$work/table.csv"
	fill "$work/table.csv" $size
	gives $status "catalogue of $size bytes" check "$job"
	[ $above -le 0 ] || names file-too-large "it is said of the last"
done

# Nesting: the file is level 1, the value of a key level 2
for depth in 31 32 33; do
	awk -v n=$((depth - 1)) 'BEGIN {
		printf "a: "
		for (i = 0; i < n; i++) printf "["
		for (i = 0; i < n; i++) printf "]"
		print ""
	}' >"$job"
	gives 3 "nested $depth deep" check "$job"
	if [ $depth -le 32 ]; then no_name too-deep "$depth is not too deep"; else names too-deep "$depth is"; fi
done

# Values that aliases stand for: 1000 in the list (with the list itself), once for each alias. In all a million
for aliases in 999 1000 1001; do
	awk -v n=$aliases 'BEGIN {
		printf "a: &a [0"
		for (i = 0; i < 998; i++) printf ",0"
		printf "]\nb: [*a"
		for (i = 1; i < n; i++) printf ",*a"
		print "]"
	}' >"$job"
	gives 3 "aliases for ${aliases},000 values" check "$job"
	if [ $aliases -le 1000 ]; then no_name alias-expansion "are read"; else names alias-expansion "are refused"; fi
done

# Mistakes that are listed
for mistakes in 9999 10000 10001; do
	awk -v n=$mistakes 'BEGIN { while (n-- > 0) printf "k%05d: 1\n", n }' >"$job"
	echo "drivers: {D1: {voltage: 24 V, power: 60 W}}" >>"$job"
	gives 3 "$mistakes mistakes" check "$job"
	listed=$((mistakes < 10000 ? mistakes : 10000))
	is "$listed are listed" same "$(grep -cF '[unknown-group]' "$work/err")" $listed
	if [ $mistakes -le 10000 ]; then no_name too-many-errors "all"; else names too-many-errors "not all"; fi
done

# Characters of a name
for letters in 1 63 64 65 0; do
	id=$(printf "%${letters}s" '' | tr ' ' x)
	[ $letters -gt 0 ] || id='""'
	echo "drivers: {$id: {voltage: 24 V, power: 60 W}}" >"$job"
	gives $((letters < 1 || letters > 64 ? 3 : 0)) "a name of $letters characters" check "$job"
done
wide=$(printf '%64s' '' | sed 's/ /ü/g')
echo "drivers: {$wide: {voltage: 24 V, power: 60 W}}" >"$job"
gives 0 "64 characters of two bytes each" check "$job"

# Options with a range
for samples in 1:2 2:0 3:0 1000001:2 0:2 -2:2 2.5:2 +5:2 1e3:2 0x10:2 99999999999999999999:2; do
	gives ${samples#*:} "${samples%:*} samples" check --tolerance --samples ${samples%:*} "$work/starter.yaml"
done
timeout 1 "$farend" check --tolerance --samples 1000000 fixtures/jobs/boot-room.yaml >"$work/out" 2>"$work/err"
is "1000000 samples are taken on" test ! -s "$work/err"
for seed in 0:0 1:0 4294967294:0 4294967295:0 4294967296:2 -1:2 -0:2 1.5:2 99999999999999999999:2; do
	gives ${seed#*:} "seed ${seed%:*}" check --tolerance --samples 2 --seed ${seed%:*} "$work/starter.yaml"
done
for spare in '0 %:0' '100 %:0' '101 %:2' '-1 %:2'; do
	gives ${spare#*:} "spare ${spare%:*}" order --spare "${spare%:*}" "$work/starter.yaml"
done
printf 'item,volts\nL1.end,23.9\n' >"$work/built.csv"
for gain in '-0.001 %:2' '0 %:0' '0.001 %:0' '99 %:0' '99.999 %:0' '100 %:2' '100.001 %:2' 'nan %:2' 'inf %:2'; do
	gives ${gain#*:} "gain ${gain%:*}" verify --meter-gain "${gain%:*}" "$work/starter.yaml" "$work/built.csv"
done
for digit in '-0.001:2' '0:2' '0.000001:0' '0.999:0' '1:0' '1.001:2' '1000000:2' 'nan:2' 'inf:2' '1e3:2'; do
	gives ${digit#*:} "digit of ${digit%:*} V" verify --meter-digit "${digit%:*} V" "$work/starter.yaml" "$work/built.csv"
	gives ${digit#*:} "digit of ${digit%:*} A" verify --meter-digit-amps "${digit%:*} A" "$work/starter.yaml" "$work/built.csv"
done
nines=$(printf '%400s' '' | tr ' ' 9)
gives 2 "a digit beyond every number" verify --meter-digit "$nines V" "$work/starter.yaml" "$work/built.csv"
for reading in 'volts,120:0' 'volts,120.01:3' 'volts,-0.01:3' 'amps,100:0' 'amps,-100:0' 'amps,100.01:3' 'amps,-100.01:3'; do
	terminal=L1.end
	[[ $reading == amps* ]] && terminal=C1
	pair=${reading%:*}
	printf 'item,%s\n%s,%s\n' "${pair%,*}" $terminal "${pair#*,}" >"$work/built.csv"
	gives ${reading#*:} "a reading of $pair" check --built "$work/built.csv" "$work/starter.yaml"
done

done_testing
