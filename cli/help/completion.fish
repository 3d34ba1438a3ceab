function __sizeply_words
  set -l line (commandline -opc) (commandline -ct)
  sizeply words $line[2..-1] 2>/dev/null
end
complete -c sizeply -a '(__sizeply_words)'
