package layers

// Progress tells how far a call has come.
type Progress struct {
	// Step is what is being done: "isolate" or "verify".
	Step string
	// Page is how many pages are done, of Pages; 0 when the step begins.
	// Verifying goes through each page twice, and counts it twice.
	Page, Pages int
}

// teller calls a callback page by page; a nil one does nothing.
type teller struct {
	call func(Progress)
	at   Progress
}

// newTeller begins a step with so many pages.
func newTeller(call func(Progress), step string, pages int) *teller {
	if call == nil {
		return nil
	}
	t := &teller{call, Progress{Step: step, Pages: pages}}
	t.call(t.at)
	return t
}

// page says that one page more is done.
func (t *teller) page() {
	if t == nil {
		return
	}
	t.at.Page++
	t.call(t.at)
}
