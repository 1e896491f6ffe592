package main

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"
)

// result is what was looked at and what is wrong with it.
type result struct {
	files  int
	faults []string // "file:line: what is wrong", in order of file and line
}

// check reads every Go file of the module whose root is fsys. It fails when
// there is no go.mod, no Go file, or a file that is not Go.
func check(fsys fs.FS) (result, error) {
	var r result
	module, err := moduleName(fsys)
	if err != nil {
		return r, err
	}
	err = fs.WalkDir(fsys, ".", func(name string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case entry.IsDir() && skipped(name):
			return fs.SkipDir
		case entry.IsDir() || !strings.HasSuffix(name, ".go"):
			return nil
		}
		source, err := fs.ReadFile(fsys, name)
		if err != nil {
			return err
		}
		faults, err := checkFile(module, name, source)
		r.files++
		r.faults = append(r.faults, faults...)
		return err
	})
	if err == nil && r.files == 0 {
		err = errors.New("no Go files here: run it in the module's root")
	}
	return r, err
}

// skipped reports whether a folder holds no packages of ours. Folders named
// testdata below a package hold input files; the one at the root is looked at.
func skipped(name string) bool {
	base := path.Base(name)
	return name != "." && (strings.HasPrefix(base, ".") || strings.HasPrefix(base, "_") ||
		base == "node_modules" || base == testdata && name != testdata)
}

// moduleName reads the module's path from go.mod.
func moduleName(fsys fs.FS) (string, error) {
	text, err := fs.ReadFile(fsys, "go.mod")
	if err != nil {
		return "", err
	}
	for line := range strings.Lines(string(text)) {
		if name, ok := strings.CutPrefix(strings.TrimSpace(line), "module "); ok {
			return strings.TrimSpace(name), nil
		}
	}
	return "", errors.New("go.mod has no module line")
}

// checkFile returns the faults of one file.
func checkFile(module, name string, source []byte) ([]string, error) {
	fset := token.NewFileSet()
	file, err := parser.ParseFile(fset, name, source, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	folder, _, _ := strings.Cut(name, "/")
	isTest := strings.HasSuffix(name, "_test.go")

	var faults []string
	add := func(at token.Pos, format string, args ...any) {
		faults = append(faults, fmt.Sprintf("%s:%d: ", name, fset.Position(at).Line)+fmt.Sprintf(format, args...))
	}
	if folder != testdata && !slices.Contains(order, folder) {
		add(file.Package, "%s is none of the folders %s", folder, strings.Join(order, ", "))
	}
	if slices.Contains(vague, file.Name.Name) {
		add(file.Package, "package name %q says nothing about what is inside", file.Name.Name)
	}
	clock := "" // the name by which this file knows package time
	for _, spec := range file.Imports {
		imported, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			return nil, fmt.Errorf("%s: import %s: %w", name, spec.Path.Value, err)
		}
		if imported == "time" {
			clock = "time"
			if spec.Name != nil {
				clock = spec.Name.Name
			}
		}
		if imported == "C" {
			add(spec.Pos(), "cgo is not used here")
		}
		if !isTest && matches(forbidden[folder], imported) {
			add(spec.Pos(), "%s must not import %s", folder, imported)
		}
		if rest, ok := strings.CutPrefix(imported, module+"/"); ok {
			to, _, _ := strings.Cut(rest, "/")
			if what := direction(folder, to, isTest); what != "" {
				add(spec.Pos(), "%s", what)
			}
		}
	}
	if clock != "" && !isTest && slices.Contains(clockless, folder) {
		for _, use := range clockReads(file, clock) {
			add(use.Pos(), "%s must not read the clock: take the time as an argument, not %s.%s", folder, clock, use.Sel.Name)
		}
	}
	return faults, nil
}

// clockReads finds the uses of functions that depend on when they run.
func clockReads(file *ast.File, clock string) []*ast.SelectorExpr {
	var found []*ast.SelectorExpr
	ast.Inspect(file, func(n ast.Node) bool {
		if s, ok := n.(*ast.SelectorExpr); ok {
			if x, ok := s.X.(*ast.Ident); ok && x.Name == clock && slices.Contains(readsClock, s.Sel.Name) {
				found = append(found, s)
			}
		}
		return true
	})
	return found
}
