package resume

// Overwritten lists in words the inputs of earlier that are now something else. One that
// is gone is not among them: nothing rests on what came after it.
func (n Inputs) Overwritten(earlier Inputs) []string {
	there := map[string]bool{}
	for _, i := range n {
		there[i.Name] = i.Value != unread
	}
	var before, now Inputs
	for _, i := range earlier {
		if there[i.Name] {
			before = append(before, i)
		}
	}
	for _, i := range n {
		if there[i.Name] {
			now = append(now, i)
		}
	}
	return now.Changes(before, true)
}
