# What a line becomes when Tab is pressed at its end: zsh -f zsh.zsh FOLDER LINE. FOLDER holds the completion.
zmodload zsh/zpty
zpty z TERM=dumb zsh -f -i
expect() { zpty -r z answer "*$1*" }
zpty -w z "PS1= PS2= RPS1=; unsetopt zle_bracketed_paste prompt_cr prompt_sp"
zpty -w z "fpath=(${(q)1} \$fpath); autoload -Uz compinit; compinit -u -D"
# The edited line is printed instead of run.
zpty -w z "show() { print -r -- \"<<\$BUFFER>>\"; BUFFER= }; zle -N show; bindkey '^X' show; bindkey '^I' complete-word"
zpty -w z "print re''ady"
expect ready
zpty -w -n z "$2"$'\t\x18'
expect '<<*>>'
print -r -- ${${answer##*<<}%%>>*}
zpty -d z
