package content

// SkipPath passes over the path construction operations that follow, as long as
// they are written with nothing but numbers, white space and their operators,
// and returns the span from the first to the last of them. It looks at no
// operand and is for paths that nobody wants to see. Next goes on behind them;
// over the span it would give the same operations.
func (s *Scanner) SkipPath() (start, end int) {
	data := s.data
	for start = s.pos; start < len(data) && classes[data[start]] == white; start++ {
	}
	end = start
	for i := start; ; {
		for i < len(data) && classes[data[i]]-white <= numeric-white {
			i++
		}
		n := pathOperator(data[i:])
		if n == 0 {
			break
		}
		i += n
		end = i
	}
	if end > start {
		s.pos = end
	}
	return start, end
}

// SkipPainted is SkipPath for a path that is painted right behind it, and clips
// nothing. It passes over no other, and returns false.
func (s *Scanner) SkipPainted() bool {
	from := s.pos
	if s.SkipPath(); paintsAt(s.data, s.pos) {
		return true
	}
	s.pos = from
	return false
}

// pathOperator returns the length of the path construction operator that data
// begins with, white space behind it; 0 where there is none.
func pathOperator(data []byte) int {
	n := 1
	if len(data) > 2 && data[0] == 'r' && data[1] == 'e' {
		n = 2
	}
	if len(data) <= n || classes[data[n]] != white {
		return 0
	}
	switch data[0] {
	case 'c', 'l', 'm', 'v', 'y', 'h':
		return n
	case 'r':
		return n - n%2
	}
	return 0
}
