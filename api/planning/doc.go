// Package planning makes the files of a question of coverage or siting: figures as JSON, cells as a
// table, places within reach as GeoJSON, a map and a page to print. The figures are
// routing/coverage's and routing/siting's own; nothing is worked out here.
package planning
