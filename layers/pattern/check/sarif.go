package check

import (
	"fmt"
	"io"
	"net/url"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/words"
)

// WriteSARIF writes the findings in the Static Analysis Results Interchange
// Format 2.1.0 (OASIS, errata 01), as one run of the program sizeply in the
// version given. A file is an artifact; a layer is a logical location; pages
// and the proposed name stand under properties. What the chart accepts comes
// as a suppressed result.
func (r *Result) WriteSARIF(w io.Writer, version string) error {
	run := sarifRun{
		Tool:    sarifTool{Driver: sarifDriver{Name: "sizeply", Version: version, Rules: []sarifRule{}}},
		Results: []sarifResult{},
	}
	for _, rule := range Rules() {
		run.Tool.Driver.Rules = append(run.Tool.Driver.Rules, sarifRule{
			ID: rule.ID, ShortDescription: sarifText{rule.Title}, FullDescription: sarifText{rule.Why},
			DefaultConfiguration: sarifLevel{rule.Severity},
		})
	}
	for _, f := range slices.Concat(r.Findings, r.Accepted) {
		run.Results = append(run.Results, f.sarif())
	}
	return words.EncodeJSON(w, sarifLog{Schema: sarifSchema, Version: "2.1.0", Runs: []sarifRun{run}})
}

// sarif is a finding as a result (3.27).
func (f Finding) sarif() sarifResult {
	_, at := rule(f.ID)
	res := sarifResult{RuleID: f.ID, RuleIndex: at, Level: f.Severity, Message: sarifText{f.Text + " " + f.Do}}
	var where sarifLocation
	if f.File != "" {
		where.Physical = &sarifPhysical{Artifact: sarifArtifact{URI: fileURI(f.File)}}
	}
	if f.Layer != "" {
		where.Logical = []sarifLogical{{Name: f.Layer, Kind: "layer"}}
	}
	if where.Physical != nil || where.Logical != nil {
		res.Locations = []sarifLocation{where}
	}
	if len(f.Pages) > 0 || f.Rename != "" || f.Object != 0 {
		res.Properties = &sarifProperties{Pages: f.Pages, Object: f.Object, Rename: f.Rename}
	}
	if f.Accepted != "" {
		res.Suppressions = []sarifSuppression{{Kind: "external", Status: "accepted", Justification: f.Accepted}}
	}
	return res
}

// fileURI is a file name as a reference (RFC 3986); one with a drive as a file
// (RFC 8089, appendix E.2).
func fileURI(name string) string {
	u := &url.URL{Path: strings.ReplaceAll(name, `\`, "/")}
	if len(u.Path) > 2 && u.Path[1:3] == ":/" {
		u.Scheme, u.Path = "file", "/"+u.Path
	}
	return u.String()
}

// MarshalJSON writes the level (3.27.10, 3.50.3), whose words are those of the
// severities.
func (l sarifLevel) MarshalJSON() ([]byte, error) {
	return fmt.Appendf(nil, `{"level":%q}`, l.severity.String()), nil
}

const sarifSchema = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"

// The objects of the format, as far as they are needed.
type (
	sarifLog struct { // 3.13
		Schema  string     `json:"$schema"`
		Version string     `json:"version"`
		Runs    []sarifRun `json:"runs"`
	}
	sarifRun struct { // 3.14
		Tool    sarifTool     `json:"tool"`
		Results []sarifResult `json:"results"`
	}
	sarifTool struct { // 3.18
		Driver sarifDriver `json:"driver"`
	}
	sarifDriver struct { // 3.19
		Name    string      `json:"name"`
		Version string      `json:"version,omitempty"`
		Rules   []sarifRule `json:"rules"`
	}
	sarifRule struct { // 3.49
		ID                   string     `json:"id"`
		ShortDescription     sarifText  `json:"shortDescription"`
		FullDescription      sarifText  `json:"fullDescription"`
		DefaultConfiguration sarifLevel `json:"defaultConfiguration"`
	}
	sarifLevel struct{ severity Severity }
	sarifText  struct {
		Text string `json:"text"`
	}
	sarifResult struct { // 3.27
		RuleID       string             `json:"ruleId"`
		RuleIndex    int                `json:"ruleIndex"`
		Level        Severity           `json:"level"`
		Message      sarifText          `json:"message"`
		Locations    []sarifLocation    `json:"locations,omitempty"`
		Suppressions []sarifSuppression `json:"suppressions,omitempty"`
		Properties   *sarifProperties   `json:"properties,omitempty"`
	}
	sarifLocation struct { // 3.28
		Physical *sarifPhysical `json:"physicalLocation,omitempty"`
		Logical  []sarifLogical `json:"logicalLocations,omitempty"`
	}
	sarifPhysical struct { // 3.29
		Artifact sarifArtifact `json:"artifactLocation"`
	}
	sarifArtifact struct { // 3.4
		URI string `json:"uri"`
	}
	sarifLogical struct { // 3.33
		Name string `json:"name"`
		Kind string `json:"kind"`
	}
	sarifSuppression struct { // 3.35
		Kind          string `json:"kind"`
		Status        string `json:"status"`
		Justification string `json:"justification"`
	}
	sarifProperties struct { // 3.8
		Pages  []int  `json:"pages,omitempty"`
		Object int    `json:"object,omitempty"`
		Rename string `json:"rename,omitempty"`
	}
)
