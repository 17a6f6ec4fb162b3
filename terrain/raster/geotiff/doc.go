// Package geotiff packs tiles of cells and puts them together into cloud-optimised
// GeoTIFFs, so that tiles may be packed where they are made, at once, and are never
// unpacked to be put together. It writes DEFLATE, which every reader of GeoTIFF knows,
// and knows the cells' place and words only as tags that another writer made.
package geotiff
