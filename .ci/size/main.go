// Command size prints how large the house is, for people to look at: no test
// and no gate hangs on it. It reads the Go files under the folder it is called
// in.
package main

import (
	"cmp"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

const most = 12 // rows of each list

// row is one line of a list: a number and what it counts.
type row struct {
	count int
	name  string
}

// house gathers what the files hold.
type house struct {
	set         *token.FileSet
	lines       map[string]int // by package folder, tests apart
	testLines   int
	files       map[string]int // by package folder, tests apart
	methods     map[string]int // by folder and type
	functions   []row          // lines
	tangled     []row          // branches
	exported    map[string]string
	used        map[string]int // identifiers in files of the product
	usedInTests map[string]bool
}

func main() {
	h := &house{
		set: token.NewFileSet(), lines: map[string]int{}, files: map[string]int{}, methods: map[string]int{},
		exported: map[string]string{}, used: map[string]int{}, usedInTests: map[string]bool{},
	}
	err := filepath.WalkDir(".", func(path string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case entry.IsDir() && path != "." && strings.HasPrefix(entry.Name(), "."):
			return filepath.SkipDir
		case entry.IsDir() || !strings.HasSuffix(path, ".go"):
			return nil
		}
		return h.read(path)
	})
	if err != nil {
		fmt.Fprintln(os.Stderr, "size:", err)
		os.Exit(1)
	}
	h.print()
}

func (h *house) read(path string) error {
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	file, err := parser.ParseFile(h.set, path, text, parser.SkipObjectResolution)
	if err != nil {
		return err
	}
	lines, folder := strings.Count(string(text), "\n"), filepath.Dir(path)
	if strings.HasSuffix(path, "_test.go") {
		h.testLines += lines
		ast.Inspect(file, func(n ast.Node) bool {
			if name, is := n.(*ast.Ident); is {
				h.usedInTests[name.Name] = true
			}
			return true
		})
		return nil
	}
	h.lines[folder] += lines
	h.files[folder]++
	ast.Inspect(file, func(n ast.Node) bool {
		if name, is := n.(*ast.Ident); is {
			h.used[name.Name]++
		}
		return true
	})
	for _, declaration := range file.Decls {
		h.declaration(folder, declaration)
	}
	return nil
}

func (h *house) declaration(folder string, declaration ast.Decl) {
	switch d := declaration.(type) {
	case *ast.FuncDecl:
		name := folder + "." + d.Name.Name
		if d.Recv != nil && len(d.Recv.List) > 0 {
			receiver := receiverName(d.Recv.List[0].Type)
			h.methods[folder+"."+receiver]++
			name = folder + "." + receiver + "." + d.Name.Name
		}
		h.functions = append(h.functions, row{h.set.Position(d.End()).Line - h.set.Position(d.Pos()).Line + 1, name})
		h.tangled = append(h.tangled, row{branches(d), name})
		h.export(d.Name, name)
	case *ast.GenDecl:
		for _, spec := range d.Specs {
			switch s := spec.(type) {
			case *ast.TypeSpec:
				h.export(s.Name, folder+"."+s.Name.Name)
			case *ast.ValueSpec:
				for _, name := range s.Names {
					h.export(name, folder+"."+name.Name)
				}
			}
		}
	}
}

func (h *house) export(name *ast.Ident, place string) {
	if name.IsExported() {
		h.exported[place] = name.Name
	}
}

func receiverName(t ast.Expr) string {
	switch x := t.(type) {
	case *ast.StarExpr:
		return receiverName(x.X)
	case *ast.IndexExpr:
		return receiverName(x.X)
	case *ast.IndexListExpr:
		return receiverName(x.X)
	case *ast.Ident:
		return x.Name
	}
	return "?"
}

// branches counts the places where a function may go one way or another.
func branches(f *ast.FuncDecl) int {
	count := 1
	ast.Inspect(f, func(n ast.Node) bool {
		switch x := n.(type) {
		case *ast.IfStmt, *ast.ForStmt, *ast.RangeStmt, *ast.CommClause:
			count++
		case *ast.CaseClause:
			count += min(1, len(x.List)) // a default is no further way
		case *ast.BinaryExpr:
			if x.Op == token.LAND || x.Op == token.LOR {
				count++
			}
		}
		return true
	})
	return count
}

func (h *house) print() {
	product, files := 0, 0
	for folder, lines := range h.lines {
		product += lines
		files += h.files[folder]
	}
	fmt.Printf("%d lines in %d files, and %d lines of tests\n", product, files, h.testLines)
	var byLines, byFiles, byMethods, unused, testOnly []row
	for folder, lines := range h.lines {
		byLines = append(byLines, row{lines, folder})
		byFiles = append(byFiles, row{h.files[folder], folder})
	}
	for name, count := range h.methods {
		byMethods = append(byMethods, row{count, name})
	}
	for place, name := range h.exported {
		switch {
		case h.used[name] > 1 || name == "String" || name == "Error":
		case h.usedInTests[name]:
			testOnly = append(testOnly, row{0, place})
		default:
			unused = append(unused, row{0, place})
		}
	}
	list("lines by package", byLines)
	list("files by package", byFiles)
	list("methods by type", byMethods)
	list("longest functions, lines", h.functions)
	list("most branches in a function", h.tangled)
	list("exported names that nothing uses (by name: an interface's methods may stand here)", unused)
	list("exported names that only tests use", testOnly)
}

func list(title string, rows []row) {
	fmt.Printf("\n%s\n", title)
	slices.SortFunc(rows, func(a, b row) int { return cmp.Or(cmp.Compare(b.count, a.count), cmp.Compare(a.name, b.name)) })
	for i, r := range rows {
		if i == most {
			fmt.Printf("        and %d more\n", len(rows)-most)
			break
		}
		if r.count == 0 {
			fmt.Printf("        %s\n", r.name)
		} else {
			fmt.Printf("%7d %s\n", r.count, r.name)
		}
	}
}
