_sizeply() {
  local -a found
  found=("${(@f)$(sizeply words "${(@Q)words[2,CURRENT]}" 2>/dev/null)}")
  if [[ -n "${found[1]}" ]]; then compadd -- "${found[@]}"; else _files; fi
}
compdef _sizeply sizeply
