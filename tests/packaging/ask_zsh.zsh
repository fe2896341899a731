# What zsh offers for a line, a word per line: zsh -f ask_zsh.zsh FOLDER_OF_FUNCTIONS LINE
# Completion works in a line that is edited only, so a second zsh edits one in a terminal of its own and prints what is
# added to the list instead of showing it.
zmodload zsh/zpty
zpty asked zsh -f -i
zpty -w asked "PS1=; fpath=(${(q)1} \$fpath); autoload -Uz compinit; compinit -u -D"
zpty -w asked '
compadd() {
  local -a found
  [[ ${@[1,(i)(-|--)]} == *-[OAD]* ]] || builtin compadd -O found "$@"
  (( $#found )) && print -rl -- "" "<"${^found}">"
  builtin compadd "$@"
}
ended() { print -r -- "" "<>end"; exit }
comppostfuncs=(ended)
stty -echo 2>/dev/null; print "<>begin"'
while zpty -r asked answer; do [[ $answer == "<>begin"* ]] && break; done
zpty -w -n asked "$2"$'\t'
while zpty -r asked answer; do
  [[ $answer == *"<>end"* ]] && break
  answer=${${answer%%[[:space:]]#}//$'\r'/}
  [[ $answer == *"<"*">"* ]] && print -r -- ${${answer#*<}%>*}
done
zpty -d asked
