package report

import (
	"bytes"
	_ "embed" // the page and its style
	"encoding/base64"
	"fmt"
	"html/template"
	"image"
	"image/png"
	"io"
)

//go:embed page.html
var pageText string

//go:embed page.css
var styleText string

// Write writes the page.
func Write(w io.Writer, r *Report) error {
	t, err := template.New("page").Funcs(template.FuncMap{"picture": picture, "section": r.section}).Parse(pageText)
	if err != nil {
		return fmt.Errorf("reading the page's template: %w", err)
	}
	data := struct {
		*Report
		Style template.CSS
	}{r, template.CSS(styleText)}
	if err := t.Execute(w, data); err != nil {
		return fmt.Errorf("writing the page: %w", err)
	}
	return nil
}

// section gives the lines of a group.
func (r *Report) section(g int) []Line {
	var list []Line
	for _, l := range r.Lines {
		if l.Group == Group(g) {
			list = append(list, l)
		}
	}
	return list
}

// inline is a picture as the page holds it.
type inline struct {
	Source        template.URL
	Width, Height int
}

// picture puts an image into a URL.
func picture(img image.Image) (*inline, error) {
	if img == nil {
		return nil, nil
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		return nil, err
	}
	url := "data:image/png;base64," + base64.StdEncoding.EncodeToString(b.Bytes())
	return &inline{template.URL(url), img.Bounds().Dx(), img.Bounds().Dy()}, nil
}
