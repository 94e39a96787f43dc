package workshop

// LastLot is the lot of a material that was recorded last; empty before the first.
func (w *Workshop) LastLot(material string) string {
	w.mu.RLock()
	defer w.mu.RUnlock()
	return w.state.Lots[material]
}
