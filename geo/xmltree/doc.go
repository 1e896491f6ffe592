// Package xmltree reads a small XML document that comes from outside into a tree,
// in bounded memory and time, for the formats that are defined in XML.
//
// The bounds on bytes, depth and number of elements hold while reading. A document
// type declaration is refused, so that there are no entities but the five of XML
// itself and nothing outside the document is ever fetched. Names keep their
// namespaces; comments and processing instructions are passed over.
//
// An [Error] never quotes the document: what comes in this way can name people.
package xmltree
