package graphs

// PathKind says what an upstream path brings to a device.
type PathKind string

// The kinds of upstream path.
const (
	PathFeed   PathKind = "feed"
	PathReturn PathKind = "return"
	PathEarth  PathKind = "earth"
	PathMains  PathKind = "mains"
	PathSignal PathKind = "signal"
)

// Path is one way upstream from a device, as the builder would walk it.
type Path struct {
	Kind     PathKind
	Terminal []int  // every terminal in order, the device's own first
	Elements []int  // every wire and link in order
	Source   string // the reference of the device it comes from
}

// PathLimit is the most paths that Upstream lists.
const PathLimit = 1000

// Upstream returns every simple upstream path of a device, at most limit of
// them, and how many more there are (0: complete).
func (c *Circuit) Upstream(device string, limit int) (paths []Path, omitted int) { return nil, 0 }
