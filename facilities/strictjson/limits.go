package strictjson

// Limits bound the work a document can cause. Zero fields take the defaults, which
// suit a request body.
type Limits struct {
	Bytes  int // length of the text
	Depth  int // arrays and objects inside one another
	Values int // values of any kind, containers counted too
}

// The defaults of Limits.
const (
	DefaultBytes  = 1 << 20
	DefaultDepth  = 32
	DefaultValues = 100_000
)

// maxName is the longest field name in bytes. Pointers repeat field names, so that
// without a bound one long name could be repeated in every fault.
const maxName = 200

func (l Limits) orDefault() Limits {
	if l.Bytes <= 0 {
		l.Bytes = DefaultBytes
	}
	if l.Depth <= 0 {
		l.Depth = DefaultDepth
	}
	if l.Values <= 0 {
		l.Values = DefaultValues
	}
	return l
}
