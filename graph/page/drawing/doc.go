// Package drawing draws a gearbox from the catalogue alone, as a workshop
// drawing: shafts at the family's centre distance, gears to scale from tooth
// counts and face widths, everything else at its place along its axis, and
// what lies beside the shafts in strips below.
//
// Symbols follow open standards, drawn from memory of them and not copied:
// gears as in ISO 2203 (tip outline thick, pitch line chain-dotted, three thin
// lines for the hand of a helix), rolling bearings as in ISO 8826-1 (box with a
// free-standing cross), seals as in ISO 9222-1 (box with a free-standing
// diagonal), line types as in ISO 128, item balloons as in ISO 6433.
//
// [Draw] is a pure function. It lays a [Picture] out in px at page scale;
// [Picture.SVG] writes it with attributes alone: no script and no inline style,
// so that it passes a policy of style-src 'self'. [CSS] is the style sheet that
// goes with it.
//
// # Classes for the style sheet
//
//	ly              the svg itself; ly-sheet, ly-narrow, ly-print by form
//	ly-i            one position, an <a> with id, data-position, data-state and
//	                data-number; ly-st-<state> by state (ly-st-plain for none),
//	                ly-now when current, ly-y when beside the shafts
//	ly-o            outline, thick continuous (ISO 128 type 01.2), tinted
//	ly-t            thin continuous line
//	ly-c            chain line: centre and pitch lines
//	ly-h            hidden or derived edge, dashed
//	ly-f            thin section drawn full: shims, snap rings, gaskets
//	ly-x            hatched section of a case wall
//	ly-hl           line of the hatching
//	ly-q            words of all items, over them and deaf to the pointer
//	ly-l, ly-d      leader from a balloon to its part and the dot at its end
//	ly-b, ly-bf     frame of a balloon, open or filled
//	ly-bx, ly-bxf   what is drawn inside a frame besides the number, open or full
//	ly-k            ground of a cell in a strip, invisible, takes the pointer
//	ly-n, ly-nf     number in an open or filled frame
//	ly-w            words: names in strips, shaft names
//	ly-z            tooth count and speed on a gear
//	ly-g            heading of a strip
//	ly-a            axes, scale bar, joints: belongs to no position
package drawing
