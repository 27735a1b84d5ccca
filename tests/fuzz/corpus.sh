#!/bin/sh
# Every kept input through its fuzz entry, without libFuzzer: $REPLAY has replay_check and the others, $UNDER, if
# set, runs them. Prints TAP.
cd "$(dirname "$0")/../.." || exit 1
replay=${REPLAY:-build/san}
count=0
failed=0
run() # ENTRY FILE...
{
	entry=$1
	shift
	count=$((count + 1))
	if out=$(${UNDER:-} "$replay/replay_$entry" "$@" 2>&1); then
		echo "ok $count - $# inputs of $entry"
	else
		echo "$out" | grep -v '^ok' | tail -n 40 | sed 's/^/# /'
		echo "not ok $count - $# inputs of $entry"
		failed=1
	fi
}

run check fixtures/jobs/*.yaml fixtures/bad/*.yaml fixtures/good-odd/*.yaml fixtures/corpus/check/*
run yaml fixtures/jobs/*.yaml fixtures/bad/*.yaml fixtures/good-odd/*.yaml fixtures/corpus/yaml/*
run csv fixtures/parts/*.csv fixtures/offcuts/*.csv fixtures/built/*.csv fixtures/bad-built/*.csv \
	fixtures/good-odd-built/*.csv fixtures/corpus/csv/*
run quantity fixtures/corpus/quantity/*
echo "1..$count"
exit "$failed"
