#!/bin/bash
# When the world fails: a full disk, a closed pipe, a folder that may not be written to, no memory, a signal.
# The old output is intact, nothing half-written is left, the exit status is right and the message clear.
. "${0%/*}/tap.sh"
out=$work/folder/out
mkdir "$work/folder"
good=$work/good.yaml
"$farend" new -o "$good"

# NAME: the old file is as it was and alone in its folder
intact()
{
	is "$1: the old file is intact" same "$(cat "$out")" old
	is "$1: nothing is left beside it" same "$(ls -A "$work/folder")" out
}

says() { is "$1: it says why" grep -qi "cannot write.*$2" "$work/err"; }

# Full
for words in "check" "check --format json" "size" "cut" "order" "schedule" "report"; do
	"$farend" $words "$good" >/dev/full 2>"$work/err"
	is "full device: $words" same $? 4
	is "full device: $words: it says why" grep -qF 'cannot write to standard output: No space left' "$work/err"
	echo old >"$out"
	(ulimit -f 0; exec "$farend" $words "$good" -o "$out" 2>/dev/null)
	is "no byte may be written: $words" same $? 4
	intact "no byte may be written: $words"
done
sed 's/0.75 mm2/2.5 mm2/' "$good" >"$work/thick.yaml"
(ulimit -f 0; exec "$farend" size --apply "$out" "$work/thick.yaml" >/dev/null 2>&1)
is "no byte may be written: size --apply" same $? 4
intact "no byte may be written: size --apply"
(ulimit -f 1; exec "$farend" report "$good" -o "$out" 2>"$work/err")
is "a file may not grow" same $? 4
intact "a file may not grow"
(ulimit -f 1; "$farend" report "$good" >"$work/o" 2>"$work/pipe"; echo $? >"$work/status") 2>/dev/null
is "nor may standard output" same "$(cat "$work/status")" 4
if [ "$(id -u)" = 0 ] && mkdir "$work/small" && mount -t tmpfs -o size=8k none "$work/small" 2>/dev/null; then
	echo old >"$work/small/out"
	"$farend" report "$good" -o "$work/small/out" 2>"$work/err"
	is "a full disk" same $? 4
	says "a full disk" "no space left"
	is "a full disk: the old file is intact" same "$(cat "$work/small/out")" old
	is "a full disk: nothing is left beside it" same "$(ls -A "$work/small")" out
	mount -o remount,ro "$work/small"
	"$farend" check "$good" -o "$work/small/out" 2>"$work/err"
	is "a disk that is read-only" same $? 4
	says "a disk that is read-only" "read-only"
	is "a disk that is read-only: the old file is intact" same "$(cat "$work/small/out")" old
	umount "$work/small"
fi

# Read-only and no file. Root may write everywhere: another user's rights are taken then.
cp "$farend" "$work/farend"
chmod 755 "$work" "$work/farend"
as_nobody() { if [ "$(id -u)" = 0 ]; then setpriv --reuid=65534 --regid=65534 --clear-groups "$@"; else "$@"; fi; }
echo old >"$out"
chmod 555 "$work/folder"
chmod 666 "$out"
as_nobody "$work/farend" check "$good" -o "$out" 2>"$work/err"
is "a read-only folder" same $? 4
says "a read-only folder" "permission denied"
as_nobody "$work/farend" check "$good" -o "$work/folder/new" 2>"$work/err"
is "a new file in it" same $? 4
intact "a read-only folder"
chmod 777 "$work/folder"
chmod 444 "$out"
as_nobody "$work/farend" check "$good" -o "$out" 2>"$work/err"
is "a write-protected file" same $? 4
says "a write-protected file" "permission denied"
intact "a write-protected file"
chmod 644 "$out"
chmod 755 "$work/folder"
gives 4 "-o over a folder" check "$good" -o "$work/folder"
says "-o over a folder" "is a folder"
intact "-o over a folder"
gives 4 "-o below a file" check "$good" -o "$out/x"
says "-o below a file" "not a directory"
intact "-o below a file"
ln -s loop "$work/loop"
gives 4 "-o onto a link to itself" check "$good" -o "$work/loop"
gives 2 "an empty name" check "$good" -o ""

# A pipe whose reader went away
for words in "check" "report" "size" "check --format csv"; do
	{ sleep 0.2; "$farend" $words "$good" 2>"$work/err"; echo $? >"$work/status"; } | true
	is "closed pipe: $words" same "$(cat "$work/status")" 4
	is "closed pipe: $words: no message" test ! -s "$work/err"
done

# Memory. What the sanitizers reserve does not fit.
if ! grep -qa __asan_init "$farend"; then
	awk 'BEGIN {
		print "drivers: {D1: {voltage: 24 V, power: 60 W}}\nstrips:"
		for (i = 0; i < 40000; i++)
			printf "  L%d: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, length: 850 mm}\n", i
	}' >"$work/many.yaml"
	echo old >"$out"
	(ulimit -v 40000; exec "$farend" check "$work/many.yaml" -o "$out" >"$work/o" 2>"$work/err")
	is "no memory" same $? 4
	is "no memory: it says so" grep -qF "there is not enough memory" "$work/err"
	intact "no memory"
fi

# Signals: while reading, while computing, and at any moment of a run that writes
mkfifo "$work/fifo"
sleep 20 >"$work/fifo" &
holder=$!
for signal in INT:130 TERM:143 HUP:129; do
	echo old >"$out"
	timeout --preserve-status -s "${signal%:*}" 0.5 "$farend" check "$work/fifo" -o "$out" >/dev/null 2>&1
	is "${signal%:*} while reading" same $? "${signal#*:}"
	intact "${signal%:*} while reading"
	timeout --preserve-status -s "${signal%:*}" 1 "$farend" check --tolerance --samples 1000000 \
		fixtures/jobs/boot-room.yaml -o "$out" >/dev/null 2>&1
	is "${signal%:*} while computing" same $? "${signal#*:}"
	intact "${signal%:*} while computing"
done
kill "$holder"
"$farend" report fixtures/jobs/boot-room.yaml -o "$work/whole" >/dev/null
whole=0
old=0
for delay in 0.001 0.002 0.004 0.006 0.008 0.01 0.015 0.02 0.025 0.03 0.04 0.05 0.07 0.1 0.15 0.2; do
	echo old >"$out"
	timeout -s TERM "$delay" "$farend" report fixtures/jobs/boot-room.yaml -o "$out" >/dev/null 2>&1
	if cmp -s "$out" "$work/whole"; then
		whole=$((whole + 1))
	elif [ "$(cat "$out")" = old ]; then
		old=$((old + 1))
	fi
done
is "ended at any moment: the old file or the whole new one" same $((whole + old)) 16
is "ended at any moment: nothing is left beside it" same "$(ls -A "$work/folder")" out

done_testing
