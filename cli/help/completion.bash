_sizeply() {
  local word
  local -a line=("${COMP_WORDS[@]:1:COMP_CWORD}")
  COMPREPLY=()
  while IFS= read -r word; do
    COMPREPLY+=("$(printf %q "$word")")
  done < <(sizeply words "${line[@]//\\/}" 2>/dev/null)
}
complete -o default -F _sizeply sizeply
