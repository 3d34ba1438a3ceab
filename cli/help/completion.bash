_sizeply() {
  local IFS=$'\n' word
  COMPREPLY=()
  for word in $(sizeply words "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null); do
    COMPREPLY+=("$(printf %q "$word")")
  done
}
complete -o default -F _sizeply sizeply
