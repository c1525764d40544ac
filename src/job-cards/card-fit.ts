import type { Block, Row } from './card-blocks.js';

/** Sizes of type that the page has, largest first, in points; below the last nothing is read at arm's length. */
export const TYPE_SIZES = [12, 11.5, 11, 10.5, 10, 9.5, 9, 8.5, 8] as const;

/** What is printed besides the blocks, across the whole width. */
export interface Frame {
  head: readonly string[];
  cautions: readonly string[];
  basis: string;
}

/** The size to print in, and the blocks as they are printed. */
export interface Fitted {
  sizePt: number;
  blocks: Block[];
}

const MM = 72 / 25.4;
/** What both A4 and US Letter have within the margins: the width of the one, the height of the other. */
const WIDTH_PT = 188 * MM;
const HEIGHT_PT = 259 * MM;
/** Estimated lines may be broken worse, and columns balanced worse, than reckoned. */
const FILL = 0.93;
const LINE = 1.22;
/** Width of a character on average, in em: that of a wide sans, so that a narrower one has room to spare. */
const CHARACTER = 0.545;
const SMALL = 0.85;

/**
 * Chooses the largest size of type in which the card goes on one page of A4 and of US Letter; where even the smallest is too large,
 * the longest lists are shortened to so many rows, and a last row counts what was left out.
 */
export function fitToPage(blocks: readonly Block[], frame: Frame): Fitted {
  for (const sizePt of TYPE_SIZES)
    if (heightOf(blocks, frame, sizePt) <= HEIGHT_PT * FILL) return { sizePt, blocks: [...blocks] };
  const sizePt = TYPE_SIZES[TYPE_SIZES.length - 1] as number;
  let shown = [...blocks];
  const cut = blocks.map(() => 0);
  while (heightOf(shown, frame, sizePt) > HEIGHT_PT * FILL) {
    const longest = longestOf(blocks, cut, sizePt);
    if (longest === null) break;
    cut[longest] = (cut[longest] ?? 0) + 1;
    shown = blocks.map((block, index) => shortened(block, cut[index] ?? 0));
  }
  return { sizePt, blocks: shown };
}

/** The block that takes most room with what it still shows, of those that may be shortened. */
function longestOf(blocks: readonly Block[], cut: readonly number[], sizePt: number): number | null {
  let longest: number | null = null;
  let most = 0;
  for (const [index, block] of blocks.entries()) {
    const left = block.rows.length - (cut[index] ?? 0);
    if (left <= block.keep) continue;
    const height = blockHeight(shortened(block, cut[index] ?? 0), sizePt);
    if (height > most) [longest, most] = [index, height];
  }
  return longest;
}

function shortened(block: Block, count: number): Block {
  if (count === 0) return block;
  const rows: Row[] = block.rows.slice(0, block.rows.length - count);
  return {
    ...block,
    rows: [...rows, { text: `… and ${count} more, not printed here: see the spec sheet or the due list` }],
  };
}

/** Wide scripts take twice the room. */
function charactersOf(text: string): number {
  let count = 0;
  for (const character of text) count += (character.codePointAt(0) ?? 0) >= 0x1100 ? 2 : 1;
  return count;
}

/** Lines that a text takes; each may end short of the edge by half of a long word. */
function linesOf(text: string, widthEm: number): number {
  const perLine = widthEm / CHARACTER;
  const characters = charactersOf(text);
  return characters <= perLine ? 1 : Math.ceil(characters / (perLine - 4));
}

const ROW_GAP_EM = 0.24;
const HEADING_EM = 2.3;
const COLUMN_GAP_EM = 1.6;

function rowHeight(row: Row, widthEm: number): number {
  const own = widthEm - (row.box ? 1.6 : 0);
  const text = row.value === undefined ? row.text : `${row.text}   ${row.value}`;
  // A value that does not fit beside its text goes below it.
  const beside = row.value !== undefined && charactersOf(text) * CHARACTER > own ? 1 : 0;
  const blanks = row.blanks && row.blanks.length > 0 ? 1.35 : 0;
  return (linesOf(text, own) + beside) * LINE + blanks + ROW_GAP_EM;
}

function columnEm(sizePt: number): number {
  return (WIDTH_PT / sizePt - COLUMN_GAP_EM) / 2;
}

function blockHeight(block: Block, sizePt: number): number {
  const width = columnEm(sizePt);
  return (HEADING_EM * 1 + block.rows.reduce((sum, row) => sum + rowHeight(row, width), 0)) * sizePt;
}

function heightOf(blocks: readonly Block[], { head, cautions, basis }: Frame, sizePt: number): number {
  const full = WIDTH_PT / sizePt;
  const columns = blocks.reduce((sum, block) => sum + blockHeight(block, sizePt), 0) / 2;
  const rows = blocks.flatMap((block) => block.rows);
  const tallest = Math.max(0, ...rows.map((row) => rowHeight(row, columnEm(sizePt)))) * sizePt;
  const headEm = 3.4 + head.reduce((sum, text) => sum + linesOf(text, full) * LINE, 0);
  const cautionEm = 2.4 + cautions.reduce((sum, text) => sum + linesOf(text, full - 3) * LINE + 0.1, 0);
  const basisEm = (linesOf(basis, full / SMALL) * LINE + 0.6) * SMALL;
  const signEm = 3.6;
  return (headEm + cautionEm + basisEm + signEm) * sizePt + columns + tallest + HEADING_EM * sizePt;
}
