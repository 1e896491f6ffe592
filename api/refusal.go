package api

import (
	"errors"
	"strconv"
	"strings"

	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities/document"
	"surgeonward/facilities/store"
	"surgeonward/facilities/strictjson"
)

func pointers(faults []strictjson.Fault) []wire.Fault { return wire.Pointers(faults) }

// refused explains why an edit of one element was not made. After is the file
// as the edit would have left it. A fault within the element points into it; the
// others name their file. With none in the element the edit is right by itself,
// but does not fit the rest of the region.
func (w *write) refused(err error, after []byte) error {
	var invalid *store.InvalidError
	if !errors.As(err, &invalid) {
		return err
	}
	place := ""
	if i := region.PlaceOf(w.list.file, after, w.id); i >= 0 {
		place = strictjson.Pointer(region.ArrayOf(w.list.file), strconv.Itoa(i))
	}
	own := false
	faults := make([]wire.Fault, len(invalid.Faults))
	for i, f := range invalid.Faults {
		faults[i] = regionFault(f)
		if rest, in := within(f.Pointer, place); place != "" && in && f.File == w.list.file {
			faults[i] = wire.Pointers([]strictjson.Fault{{Pointer: rest, Detail: f.Detail}})[0]
			own = true
		}
	}
	if own {
		return faulty(invalidContent, faults, err)
	}
	return faulty(conflict, faults, err)
}

// within reports whether a pointer leads to a place or into it, and where from
// there.
func within(pointer, place string) (rest string, in bool) {
	rest, in = strings.CutPrefix(pointer, place)
	return rest, in && (rest == "" || rest[0] == '/')
}

// regionFault is a fault of a region's file in the form problem documents have.
func regionFault(f store.Fault) wire.Fault {
	out := wire.Pointers([]strictjson.Fault{{Pointer: f.Pointer, Detail: f.Detail}})[0]
	out.File, out.Element = f.File, f.Element
	return out
}

func regionFaults(faults []store.Fault) []wire.Fault {
	out := make([]wire.Fault, len(faults))
	for i, f := range faults {
		out[i] = regionFault(f)
	}
	return out
}

// storeProblem translates what a store refuses with.
func storeProblem(err error) *problem {
	var (
		invalid  *store.InvalidError
		conflict *store.ConflictError
		byHand   *store.ByHandError
	)
	switch {
	case errors.As(err, &invalid):
		return faulty(invalidContent, regionFaults(invalid.Faults), err)
	case errors.As(err, &byHand):
		p := faulty(editedByHand, regionFaults(byHand.Faults), err)
		p.detail = "the file was changed by hand and cannot be used as it stands: nothing was written over it; " + p.detail
		return p
	case errors.Is(err, store.ErrNotFound):
		return &problem{kind: noThing, detail: "there is no such version: GET /v1/history lists them", cause: err}
	case errors.Is(err, store.ErrDamaged):
		return &problem{kind: internal, detail: "what is kept of this version is damaged: a backup has it, the other versions are not concerned", cause: err}
	case errors.Is(err, store.ErrReadOnly):
		return &problem{kind: readOnly, detail: "the region's data can be read but not written", cause: err}
	case errors.Is(err, store.ErrUnsure):
		return &problem{kind: storeUnavailable, detail: "the region's data went away while the change was being kept: it may have been made; read again before you repeat it", cause: err}
	case errors.Is(err, store.ErrUnavailable), errors.Is(err, store.ErrClosed):
		return &problem{kind: storeUnavailable, detail: "the region's data cannot be reached now, so that nothing was changed; answers go on from what was read last", cause: err}
	case errors.Is(err, region.ErrBusy), errors.As(err, &conflict):
		return &problem{kind: storeUnavailable, detail: "others changed the region each time this edit was tried, or for too long: nothing was changed; try again", cause: err}
	case errors.Is(err, document.ErrElement):
		return faulty(invalidContent, pointers([]strictjson.Fault{{Detail: "it would not be an object with its id any more"}}), err)
	case errors.Is(err, store.ErrEdit):
		return &problem{kind: tooLarge, detail: "the edit is beyond what is kept of one: make it smaller", cause: err}
	}
	return nil
}
