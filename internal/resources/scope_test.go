package resources

import (
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
)

// objects are those of a test, by number.
type objects map[pdf.Ref]pdf.Object

func (o objects) Object(r pdf.Ref) pdf.Object { return o[r] }

func TestScope(t *testing.T) {
	src := objects{1: pdf.Dict{"Font": pdf.Dict{"F": pdf.Ref(2), "Own": pdf.Ref(3)}}, 2: pdf.Integer(2), 3: pdf.Integer(3)}
	page := NewScope(src, pdf.Ref(1), nil)
	form := NewScope(src, pdf.Dict{"Font": pdf.Dict{"Own": pdf.Integer(4), "F": pdf.Ref(9)}}, page)
	inner := NewScope(src, nil, form)
	for _, c := range []struct {
		reason string
		scope  *Scope
		name   pdf.Name
		want   pdf.Object
	}{
		{"a page's own", page, "F", pdf.Ref(2)},
		{"a form's own comes first (7.8.3)", form, "Own", pdf.Integer(4)},
		{"a name that stands for nothing is looked for outside", form, "F", pdf.Ref(2)},
		{"two streams out", inner, "F", pdf.Ref(2)},
		{"a form without resources has its caller's", inner, "Own", pdf.Integer(4)},
		{"nobody has it", inner, "G", nil},
		{"no scope at all", nil, "F", nil},
	} {
		if got := c.scope.Lookup("Font", c.name); got != c.want {
			t.Errorf("%s: %v, want %v", c.reason, got, c.want)
		}
	}
	if !form.Has(Name{Font, "Own"}) || form.Has(Name{Font, "F"}) || inner.Has(Name{Font, "Own"}) {
		t.Error("Has is for names of the own dictionary that stand for something")
	}
	if out := form.Outside(); len(out) != 2 || out[Name{Font, "F"}] != pdf.Ref(2) {
		t.Errorf("names from outside: %v", out)
	}
	if page.Dict() == nil || inner.Dict() != nil {
		t.Error("Dict is the own dictionary")
	}
}
