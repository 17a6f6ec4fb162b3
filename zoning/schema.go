package zoning

// Schema is the version of the files that are written for others to read: names, types and
// units of their properties. Those who read such a file again refuse another version.
const Schema = 2
