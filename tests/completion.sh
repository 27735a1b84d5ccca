#!/bin/bash
# The completions that `farend help --completion SHELL` writes, loaded into the shells themselves. They come
# with `make deps-test`; what is missing fails. Prints TAP.
cd "$(dirname "$0")/.." || exit 1
farend=$(realpath "${FAREND:-build/farend}")
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

# Lines that must be the same.
same() # NAME WANTED GOT
{
	[ "$2" = "$3" ]
	local result=$?
	[ $result -eq 0 ] || printf '# wanted: %s\n# got: %s\n' "$(echo $2)" "$(echo $3)"
	verdict $result "$1"
}

for tool in zsh fish; do
	command -v $tool >"$work/out"
	verdict $? "there is $tool"
done
[ $failed -eq 0 ] || { echo "# 'make deps-test' installs what is missing"; echo "1..$count"; exit 1; }
mkdir -p "$work/zsh"
"$farend" help --completion bash >"$work/farend.bash" && "$farend" help --completion zsh >"$work/zsh/_farend" &&
	"$farend" help --completion fish >"$work/farend.fish"
verdict $? "three scripts are written"
for shell in tcsh ''; do
	"$farend" help --completion "$shell" >"$work/out" 2>"$work/err"
	[ $? -eq 2 ] && [ ! -s "$work/out" ] && [ -s "$work/err" ]
	verdict $? "there is none for '$shell'"
done
"$farend" help --completion bash check >"$work/out" 2>"$work/err"
[ $? -eq 2 ] && [ ! -s "$work/out" ]
verdict $? "a command beside --completion is wrong usage"

bash -n "$work/farend.bash" && zsh -n "$work/zsh/_farend" && fish -n "$work/farend.fish"
verdict $? "each shell can read its own"

# Where files are completed.
mkdir -p "$work/place/sub"
touch "$work/place/kitchen one.yaml" "$work/place/kitchen.csv" "$work/place/hall.yaml"

# What bash offers for a line, in which the last word is the one to complete.
in_bash() # WORD...
{
	(cd "$work/place" && bash --norc -c '
		. ../farend.bash
		COMP_WORDS=(farend "$@")
		COMP_CWORD=$#
		_farend
		printf "%s\n" "${COMPREPLY[@]}"' - "$@" 2>&1)
}
commands=$("$farend" help | awk '/^Commands/ { on = 1; next } /^$/ { on = 0 } on && /^  [a-z]/ { print $1 }')
[ "$(echo "$commands" | wc -l)" -ge 10 ]
verdict $? "help lists the commands"
same "bash: commands" "$commands" "$(in_bash '')"
same "bash: the beginning of one" check "$(in_bash chec)"
same "bash: commands behind help" "$commands" "$(in_bash help '')"
same "bash: checks behind explain" "$("$farend" explain | awk 'NR > 2 && /^[a-z]/ { print $1 }' | grep ^far)" \
	"$(in_bash explain far)"
same "bash: and mistakes" "bad-character
bad-curve
bad-encoding" "$(in_bash explain bad- | grep '^bad-[ce]' | LC_ALL=C sort)"
same "bash: files of one kind, and folders" "hall.yaml
kitchen one.yaml
sub" "$(in_bash check '' | LC_ALL=C sort)"
same "bash: any file for -o" "kitchen one.yaml
kitchen.csv" "$(in_bash check -o kit | LC_ALL=C sort)"
same "bash: formats of the command" "html
svg" "$(in_bash report --format '')"
same "bash: split at the equals sign" json "$(in_bash check --format = j)"
same "bash: and with nothing behind it" "auto
always
never" "$(in_bash check --colour =)"
same "bash: an option and its value are no operand" hall.yaml "$(in_bash check --format json hal)"
same "bash: nothing behind the last operand" "" "$(in_bash cut hall.yaml '')"
same "bash: but where it repeats" hall.yaml "$(in_bash check hall.yaml hal)"
same "bash: operands of two kinds" kitchen.csv "$(in_bash verify hall.yaml kit)"
for command in $commands; do
	same "bash: options of $command" \
		"$("$farend" help "$command" | grep -oE '(^| |,)--?[a-z][-a-z]*( [A-Z]+)?' | grep -oE '\--?[a-z][-a-z]*' |
			grep '^--' | sort -u)" \
		"$(in_bash "$command" -- | sort -u)"
done

# fish says what it would offer.
in_fish() # LINE
{
	(cd "$work/place" && HOME=$work XDG_CONFIG_HOME=$work fish --no-config -c \
		"source ../farend.fish; complete -C '$1'" 2>&1 | cut -f 1)
}
same "fish: commands" "$(echo "$commands" | sort)" "$(in_fish 'farend ' | sort)"
same "fish: formats of the command" "html
svg" "$(in_fish 'farend report --format ' | sort)"
same "fish: checks behind explain" "$(in_bash explain far | sort)" "$(in_fish 'farend explain far' | sort)"
same "fish: and mistakes" "no-unit" "$(in_fish 'farend explain no-u')"
same "fish: options" "--schema" "$(in_fish 'farend explain --sch')"
same "fish: files of one kind come first" "hall.yaml" "$(in_fish 'farend check hal')"

# zsh completes on a terminal only: tests/completion/zsh.zsh gives it one.
in_zsh() # LINE
{
	(cd "$work/place" && timeout 30 zsh -f "$OLDPWD/tests/completion/zsh.zsh" "$work/zsh" "$1" 2>&1)
}
same "zsh: the beginning of a command" "farend schedule " "$(in_zsh 'farend sche')"
same "zsh: an option" "farend explain --schema " "$(in_zsh 'farend explain --sch')"
same "zsh: a format" "farend report --format=svg " "$(in_zsh 'farend report --format=s')"
same "zsh: a file" "farend check hall.yaml " "$(in_zsh 'farend check hal')"
same "zsh: a check" "farend explain off-mark " "$(in_zsh 'farend explain off')"
same "zsh: a mistake" "farend explain decimal-comma " "$(in_zsh 'farend explain dec')"
echo "1..$count"
[ $failed -eq 0 ]
