package sizes

// roles gives each size of the chart its role, 0 for none, and notes where the
// chart ends.
func (m *Match) roles(wanted []int, w Want, p *Pick) []Role {
	roles := make([]Role, len(m.labels))
	for _, i := range wanted {
		from, to := window(i, w.Below, w.Above, len(roles))
		for j := from; j < to; j++ {
			roles[j] = roles[j].and(roleOf(j, i))
		}
		p.noteEnd(m.labels[i], i-from, w.Below, "below")
		p.noteEnd(m.labels[i], to-1-i, w.Above, "above")
	}
	return roles
}

func roleOf(j, wanted int) Role {
	switch {
	case j < wanted:
		return RoleBelow
	case j > wanted:
		return RoleAbove
	}
	return RoleWanted
}

// and joins the roles that a size has for two wanted sizes.
func (r Role) and(s Role) Role {
	switch {
	case r == 0 || s == RoleWanted:
		return s
	case r == s || r == RoleWanted:
		return r
	}
	return RoleBetween
}

func (p *Pick) noteEnd(label string, have, asked int, side string) {
	if have < asked {
		p.note(NoteChartEnd, "the chart has %s %s size %q, %d asked for", count(have, "size"), side, label, asked)
	}
}
