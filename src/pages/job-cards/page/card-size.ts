import type { Block, Row } from './card-row.js';

/** Type sizes to choose from, in points. Anything smaller is not readable at arm's length. */
const READABLE_SIZES = [12, 11.5, 11, 10.5, 10, 9.5, 9, 8.5, 8, 7.5] as const;
const SMALLEST = 7.5;
/** For very long names, when the rows that must stay would otherwise take more than a page. */
const LAST_RESORT_SIZES = [7, 6, 5] as const;
/**
 * Lines to leave free at those sizes, because it is hard to predict how a browser breaks long
 * names.
 */
const SPARE_LINES = 6;
export const TYPE_SIZES: readonly number[] = [...READABLE_SIZES, ...LAST_RESORT_SIZES];

export const MARGINS_MM = { top: 8, side: 9 } as const;
export const LINE_HEIGHT = 1.22;

/** What is printed besides the blocks, across the whole width. */
export interface Frame {
  /** The left and right columns of the head. */
  head: readonly [left: readonly string[], right: readonly string[]];
  work: string;
  cautions: readonly string[];
  basis: string;
  /** The basis as printed when space is short. */
  basisInShort: string;
  /** Says how many rows were left out. */
  moreRows: (count: number) => string;
}

/** What is printed, and in which type size. */
export interface SizedCard {
  sizePt: number;
  blocks: readonly Block[];
  basis: string;
}

const PT_PER_MM = 72 / 25.4;
/** The area that fits on both A4 and US Letter: the width of A4, the height of US Letter. */
const WIDTH_PT = (210 - 2 * MARGINS_MM.side) * PT_PER_MM;
const HEIGHT_PT = (279.4 - 2 * MARGINS_MM.top) * PT_PER_MM;

/** The width of an average letter in em, including its share of the space left at line ends. */
const LETTER_EM = 0.48;
/** Capitals, m, w and scripts with square characters take the room of two letters. */
const WIDE = /[A-ZmwMW@%]|[^\0-\u2fff]/gu;
/** In lines: the space around a block, around each row, and around the parts of the frame. */
const AROUND = { block: 1.7, row: 0.15, frame: 5 } as const;
/** In letters: a blank to fill in, the gap before a value, the box to tick. */
const LETTERS = { blank: 9, gap: 2, box: 3 } as const;
/** The relative type size of the basis. */
const SMALL = 0.85;
/** The relative width of values, which are bold and mostly digits. */
const BOLD = 1.25;

/**
 * Chooses the largest type size in which the card should fit on one page of both A4 and US Letter.
 * If it does not fit in the smallest size, the basis is shortened. After that, the longest lists
 * are shortened: to their `keep` if possible, otherwise to their `least`.
 *
 * The browser breaks the lines and balances the columns; this function only estimates by counting
 * letters. If a card takes more room than estimated, it continues on a second sheet, and nothing is
 * cut off.
 */
export function sizeCard(blocks: readonly Block[], frame: Frame): SizedCard {
  const sizePt = READABLE_SIZES.find((size) => linesOver(blocks, frame, size) <= 0);
  if (sizePt !== undefined) return { sizePt, blocks, basis: frame.basis };
  const basis = frame.basisInShort;
  const short = { ...frame, basis };
  const shown = shortened(blocks, linesOver(blocks, short, SMALLEST), frame.moreRows);
  const over = (size: number): number => linesOver(shown, short, size);
  const smaller = LAST_RESORT_SIZES.find((size) => over(size) <= -SPARE_LINES) ?? 5;
  return { sizePt: over(SMALLEST) <= 0 ? SMALLEST : smaller, blocks: shown, basis };
}

/** By how many lines the card is too long for a page. Negative when there is room left. */
function linesOver(blocks: readonly Block[], frame: Frame, sizePt: number): number {
  const letters = WIDTH_PT / sizePt / LETTER_EM;
  const rows = blocks.flatMap((block) => block.rows.map((row) => rowLines(row, letters)));
  // Balanced columns differ by at most one row, because a row is never split.
  const body = (sum(rows) + blocks.length * AROUND.block + Math.max(0, ...rows)) / 2;
  return body + frameLines(frame, letters) - HEIGHT_PT / (sizePt * LINE_HEIGHT);
}

/** @param letters how many fit on a line across the page */
function rowLines({ box, text, value, blanks = [] }: Row, letters: number): number {
  const toWrite = blanks.reduce((all, name) => all + lettersOf(name) + LETTERS.blank, 0);
  const atEnd = value === undefined ? 0 : BOLD * lettersOf(value) + LETTERS.gap;
  const room = letters / 2 - LETTERS.gap - (box ? LETTERS.box : 0);
  return Math.ceil((lettersOf(text) + atEnd + toWrite) / room) + AROUND.row;
}

function frameLines({ head: [left, right], work, cautions, basis }: Frame, letters: number): number {
  const linesIn = (width: number, texts: readonly string[]): number =>
    sum(texts.map((text) => Math.ceil(lettersOf(text) / width)));
  const head = Math.max(linesIn(0.55 * letters, left), linesIn(0.35 * letters, right));
  const across = linesIn(0.9 * letters, [work]) + SMALL * linesIn(letters / SMALL, [basis]);
  // Cautions are in two columns, like the blocks.
  return AROUND.frame + head + across + (linesIn(0.46 * letters, cautions) + 1) / 2;
}

function lettersOf(text: string): number {
  return text.length + (text.match(WIDE)?.length ?? 0);
}

const sum = (numbers: readonly number[]): number => numbers.reduce((all, one) => all + one, 0);

/** Removes rows from the longest lists until the card fits, or no list can be shortened further. */
function shortened(blocks: readonly Block[], lines: number, moreRows: Frame['moreRows']): Block[] {
  const letters = WIDTH_PT / SMALLEST / LETTER_EM;
  const kept = blocks.map(({ rows }) => rows.length);
  let over = lines;
  const longestAbove = (room: 'keep' | 'least'): number => {
    const spare = blocks.map((block, index) => ((kept[index] ?? 0) > block[room] ? (kept[index] ?? 0) : 0));
    const most = Math.max(...spare);
    return most === 0 ? -1 : spare.indexOf(most);
  };
  for (const room of ['keep', 'least'] as const) {
    for (let index = longestAbove(room); over > 0 && index >= 0; index = longestAbove(room)) {
      const { rows = [] } = blocks[index] ?? {};
      const row = rows[(kept[index] ?? 0) - 1];
      // When the first row is removed, a row that counts the removed ones is added.
      if (kept[index] === rows.length) over += (1 + AROUND.row) / 2;
      if (row) over -= rowLines(row, letters) / 2;
      kept[index] = (kept[index] ?? 0) - 1;
    }
  }
  return blocks.map((block, index) => cutTo(block, kept[index] ?? 0, moreRows));
}

function cutTo(block: Block, kept: number, moreRows: Frame['moreRows']): Block {
  const left = block.rows.length - kept;
  if (left === 0) return block;
  return { ...block, rows: [...block.rows.slice(0, kept), { text: moreRows(left) }] };
}
