package pattern

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// Draft makes a first chart from the names of the layers of the files of a
// pattern, as [sizes.Draft] does, each in the order that viewers show. Layers of one size
// under headings that may make different ones of it are a doubt.
func Draft(files ...[]layers.Layer) *sizes.Drafted {
	d := draftNames(files...)
	for _, found := range files {
		for _, a := range Match(d.Chart, found).Answers {
			above := strings.Join(found[a.Position].Parents, " ")
			if len(a.Words) == 0 || !strings.HasPrefix(a.Reason, standsUnder(above)) {
				continue
			}
			d.Doubts = append(d.Doubts, sizes.Doubt{Position: -1, About: sizes.DoubtSize, Reason: fmt.Sprintf(
				`Layers of one size stand under several headings, and "%s" may make another size of "%s": `+
					"no chart tells layers of one name apart, so choose them by their ids (see inspect).",
				words.Printable(above), words.Printable(a.Name))})
			return d
		}
	}
	return d
}

// draftNames drafts from names alone.
func draftNames(files ...[]layers.Layer) *sizes.Drafted {
	var names []string
	for _, found := range files {
		names = append(names, ownNames(found)...)
	}
	return sizes.Draft(names)
}

// ShownOrder returns the positions of layers in the order in which viewers list
// them; behind them, in the order of the file, those that they do not list.
func ShownOrder(list []layers.Layer) []int {
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	place := func(i int) uint { return uint(list[i].Place) - 1 } // of those without one the largest there is
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(place(a), place(b)) })
	return order
}

// DoubtWords writes a doubt of a draft as a sentence, what the file may do to a
// terminal made harmless.
func DoubtWords(d sizes.Doubt) string {
	if d.Position < 0 {
		return words.Printable(d.Reason)
	}
	return fmt.Sprintf(`layer "%s" %s`, words.Printable(d.Name), words.Printable(d.Reason))
}

// DoubtsWords writes doubts, one at least, without a full stop: the first as a sentence, and the
// layers that others are about by name.
func DoubtsWords(doubts []sizes.Doubt) string {
	var names []string
	for _, d := range doubts[1:] {
		if d.Position >= 0 && d.Name != doubts[0].Name {
			names = append(names, d.Name)
		}
	}
	text := strings.TrimSuffix(DoubtWords(doubts[0]), ".")
	if len(names) > 0 {
		text += " (in doubt too: " + words.Quoted(names) + ")"
	}
	return text
}

// AddLines states lines for the sizes of a draft, as [layers.ProposeLines]
// guesses them from the styles of a file: both come from small to large. Where
// the names told no sizes, the lines are sizes without proper labels. What
// remains to be decided is added to the doubts.
func AddLines(d *sizes.Drafted, styles []layers.LineStyle) {
	lines := layers.ProposeLines(styles)
	doubt := func(format string, args ...any) {
		d.Doubts = append(d.Doubts,
			sizes.Doubt{Position: -1, Reason: fmt.Sprintf(format, args...), About: sizes.DoubtSize})
	}
	n := len(d.Chart.Sizes)
	printed := printedLabels(lines, styles)
	switch {
	case len(lines) == 0:
		doubt("The drawing shows no lines that look like those of sizes.")
		return
	case n == 0:
		d.Doubts = nil // that names tell no size
		for i := range lines {
			label := fmt.Sprint("line ", i+1)
			if printed != nil {
				label = printed[i]
			}
			d.Chart.Sizes = append(d.Chart.Sizes, sizes.Size{Label: label})
		}
		if printed == nil {
			doubt("The lines have no names; give each the label of its size.")
		} else {
			doubt("The lines are called what is printed in their colours or beside them; compare it with the pattern.")
		}
	case n == len(lines) && printed != nil:
		lines = byPrinted(d.Chart, lines, printed)
	case n != len(lines):
		doubt("The drawing shows %d lines that look like those of sizes, and the names tell %d sizes; "+
			"no line is stated.", len(lines), n)
		return
	}
	for i, l := range lines {
		line := sizes.Line{Colour: l.Spec.Colour, Dash: l.Spec.Dash, Width: l.Spec.Width, Text: l.Spec.Text}
		d.Chart.Sizes[i].Line = &line
	}
	doubtLines(d, lines, styles, doubt)
	colour := styles[lines[0].Styles[0]].Colour
	if slices.ContainsFunc(lines, func(l layers.ProposedLine) bool { return styles[l.Styles[0]].Colour != colour }) {
		return // more than the dash tells them apart
	}
	if i := slices.IndexFunc(lines, func(l layers.ProposedLine) bool { return len(l.Spec.Dash) == 0 }); i >= 0 {
		doubt("The line of %q is solid: what else is drawn in that line, such as a grainline, goes with this size.",
			d.Chart.Sizes[i].Label)
	} else if i := overlooked(styles, lines); i >= 0 {
		doubt("A solid line of the same colour (%s) is drawn about as long as these: "+
			"it may be a size that is missing here. It stays in every print.", LineWords(&styles[i]))
	}
}

// byPrinted puts lines in the order of the sizes of a chart that are printed for them;
// lines for which others are printed stay as they are.
func byPrinted(chart *sizes.Chart, lines []layers.ProposedLine, printed []string) []layers.ProposedLine {
	list := make([]layers.ProposedLine, len(lines))
	taken := map[int]bool{}
	for i, label := range printed {
		found, err := chart.Resolve(label)
		if err != nil || len(found) != 1 {
			return lines
		}
		at := slices.Index(chart.Labels(), found[0])
		list[at], taken[at] = lines[i], true
	}
	if len(taken) < len(lines) {
		return lines
	}
	return list
}

// doubtLines says how the order of proposed lines was found, and what goes with them
// that every size may need.
func doubtLines(d *sizes.Drafted, lines []layers.ProposedLine, styles []layers.LineStyle, doubt func(string, ...any)) {
	if lines[0].Nested {
		doubt("The lines are guessed: smallest first, since their outlines lie one within the next; " +
			"compare them with the pattern.")
	} else {
		doubt("The lines are guessed, and their outlines do not tell which size is smaller: " +
			"put them in order, smallest first.")
	}
	of := make([][]layers.LineStyle, len(lines))
	outside, inside := make([]int, len(lines)), make([]int, len(lines))
	for i, l := range lines {
		for _, at := range l.Styles {
			of[i] = append(of[i], styles[at])
		}
	}
	for i, s := range layers.FindStrays(of) {
		outside[i], inside[i] = s.Outside, s.Inside
	}
	for i, l := range lines {
		label := d.Chart.Sizes[i].Label
		if n := outside[i] + inside[i]; unlike(outside, i) || unlike(inside, i) {
			doubt("Besides outlines, the line of %q draws %s, more than those of other sizes, such as frames, "+
				"grainlines or test squares: they go with this size.", label, words.Count(n, "line", "lines"))
		}
		for _, at := range l.Also {
			doubt("The line of %q looks like another that may belong to every size (%s): that goes with this size.",
				label, LineWords(&styles[at]))
		}
		if leavesTexts(lines, i, styles) {
			doubt("Texts have the colour of %q, unlike those of other sizes: they stay in every print, "+
				"the number of this size too.", label)
		}
	}
}

// leavesTexts reports whether texts have the colour of one line alone, and do not go
// with it.
func leavesTexts(lines []layers.ProposedLine, i int, styles []layers.LineStyle) bool {
	spec := lines[i].Spec
	alone := !slices.ContainsFunc(lines, func(l layers.ProposedLine) bool {
		return l.Spec.Colour == spec.Colour && !slices.Equal(l.Styles, lines[i].Styles)
	})
	return spec.Colour != "" && !spec.Text && alone && slices.ContainsFunc(styles, func(s layers.LineStyle) bool {
		return s.Kind == layers.ShownText && s.Colour == spec.Colour
	})
}

// overlooked is the position of a solid line of the colour of the proposed ones
// that is about as long, -1 where there is none.
func overlooked(styles []layers.LineStyle, lines []layers.ProposedLine) int {
	shortest, taken := math.Inf(1), map[int]bool{}
	for _, l := range lines {
		sum := 0.0
		for _, at := range l.Styles {
			sum += styles[at].Length
			taken[at] = true
		}
		shortest = min(shortest, sum)
	}
	for i, s := range styles {
		if !taken[i] && s.Kind == layers.StrokedLine && len(s.Dash) == 0 && s.Pieces == nil &&
			s.Colour == styles[lines[0].Styles[0]].Colour && s.Length >= shortest/2 {
			return i
		}
	}
	return -1
}
