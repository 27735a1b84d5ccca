# Sourced by shell tests: $farend, a folder of their own in $work, and results as TAP.
cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 1
farend=$(realpath "${FAREND:-build/farend}")
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
count=0
failed=0

# NAME COMMAND...: must succeed; what it says is shown where it does not
is()
{
	local name=$1
	shift
	count=$((count + 1))
	if "$@" >"$work/said" 2>&1; then
		echo "ok $count - $name"
	else
		echo "not ok $count - $name"
		head -n 5 "$work/said" | sed 's/^/# /'
		failed=1
	fi
}

# STATUS NAME WORDS...: runs farend, leaves $work/out and $work/err, compares the exit status
gives()
{
	local wanted=$1 name=$2 got
	shift 2
	"$farend" "$@" >"$work/out" 2>"$work/err" </dev/null
	got=$?
	is "$name" same "$got" "$wanted"
}

same()
{
	[ "$1" = "$2" ] && return
	echo "$1, not $2"
	head -n 4 "$work/err"
	return 1
}

hasnt() { ! grep -q "$@"; }

done_testing()
{
	echo "1..$count"
	exit "$failed"
}
