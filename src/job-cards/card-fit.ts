import type { Block, Row } from './card-blocks.js';
import { BOLD, linesOf, textEm } from './text-width.js';

/** Sizes of type to choose from, largest first, in points; below the last nothing is read at arm's length. */
const READABLE_SIZES = [12, 11.5, 11, 10.5, 10, 9.5, 9, 8.5, 8, 7.5] as const;
const SMALLEST = 7.5;
/** For names of such a length that what may not be left out would not go on the page otherwise. */
const LAST_RESORT_SIZES = [7, 6, 5] as const;
export const TYPE_SIZES: readonly number[] = [...READABLE_SIZES, ...LAST_RESORT_SIZES];

/** The page's measures in em, for its style and for reckoning what goes on it alike. */
export const MEASURES_EM = {
  line: 1.22,
  rowGap: 0.18,
  headingGap: 0.25,
  headingPad: 0.12,
  sectionGap: 0.45,
  columnGap: 1.5,
  tick: 1.6,
  valueGap: 0.8,
  /** Room to write a number in. */
  blank: 3.6,
  blankGap: 0.35,
  /** Of the type's size. */
  small: 0.85,
} as const;

export const MARGINS_MM = { top: 8, side: 9 } as const;

/** What is printed besides the blocks, across the whole width. */
export interface Frame {
  /** The lines of the head beside each other, left and right. */
  head: readonly (readonly [left: string, right: string])[];
  work: string;
  cautions: readonly string[];
  basis: string;
  /** What is printed of the basis where room is short. */
  basisInShort: string;
}

/** The size to print in, and the blocks as they are printed, in two columns. */
export interface Fitted {
  sizePt: number;
  columns: readonly [Block[], Block[]];
  /** The cautions beside each other, each column in the order to read it. */
  cautions: readonly [string[], string[]];
  basis: string;
}

const PT_PER_MM = 72 / 25.4;
/** What both A4 and US Letter have: the width of the one, the height of the other. */
const WIDTH_PT = (210 - 2 * MARGINS_MM.side) * PT_PER_MM;
const HEIGHT_PT = (279.4 - 2 * MARGINS_MM.top) * PT_PER_MM;
/** Fractions of a pixel that a browser rounds up. */
const FILL = 0.99;

const {
  line,
  rowGap,
  headingGap,
  headingPad,
  sectionGap,
  columnGap,
  tick,
  valueGap,
  blank,
  blankGap,
  small,
} = MEASURES_EM;

/**
 * Chooses the largest size of type in which the card goes on one page of A4 and of US Letter. Where even the smallest is too large, the
 * basis is told in short; then the longest lists are shortened, a last row of each counting what was left out: down to what each should
 * keep, then to what it must. What is left is printed in the size that it takes.
 */
export function fitToPage(blocks: readonly Block[], frame: Frame): Fitted {
  for (const sizePt of READABLE_SIZES) {
    const columns = inTwoColumns(blocks, sizePt);
    if (fits(columns, frame, sizePt)) return printed(sizePt, columns, frame);
  }
  const short = { ...frame, basis: frame.basisInShort };
  const cut = blocks.map(() => 0);
  let shown = [...blocks];
  for (;;) {
    const columns = inTwoColumns(shown, SMALLEST);
    if (fits(columns, short, SMALLEST)) return printed(SMALLEST, columns, short);
    const next = longestOf(blocks, shown, cut, 'keep') ?? longestOf(blocks, shown, cut, 'least');
    if (next === null) break;
    cut[next] = (cut[next] ?? 0) + 1;
    shown = blocks.map((block, index) => shortened(block, cut[index] ?? 0));
  }
  const sizePt = LAST_RESORT_SIZES.find((size) => fits(inTwoColumns(shown, size), short, size)) ?? 5;
  return printed(sizePt, inTwoColumns(shown, sizePt), short);
}

function printed(sizePt: number, columns: Fitted['columns'], { basis, cautions }: Frame): Fitted {
  return { sizePt, columns, cautions: cautionColumns(cautions, WIDTH_PT / sizePt).columns, basis };
}

/** The cautions in two columns as even as they go, with the height of the taller one. */
function cautionColumns(
  cautions: readonly string[],
  widthEm: number,
): { columns: [string[], string[]]; heightEm: number } {
  const columnEm = (widthEm - 1.7 - columnGap) / 2 - 1.1;
  const heights = cautions.map((text) => linesOf(text, columnEm) * line + 0.1);
  const tallest = (split: number): number =>
    Math.max(sumOf(heights.slice(0, split)), sumOf(heights.slice(split)));
  let best = cautions.length;
  for (let split = 0; split < cautions.length; split++) if (tallest(split) < tallest(best)) best = split;
  return { columns: [cautions.slice(0, best), cautions.slice(best)], heightEm: tallest(best) };
}

const sumOf = (heights: readonly number[]): number => heights.reduce((sum, height) => sum + height, 0);

function fits(columns: Fitted['columns'], frame: Frame, sizePt: number): boolean {
  const tallest = Math.max(...columns.map((column) => heightEm(column, sizePt)));
  return (tallest + frameEm(frame, WIDTH_PT / sizePt)) * sizePt <= HEIGHT_PT * FILL;
}

/** The blocks in two columns as even as they go, each in the order to read them, the first block on the left. */
function inTwoColumns(blocks: readonly Block[], sizePt: number): [Block[], Block[]] {
  const heights = blocks.map((block) => blockEm(block, sizePt));
  let best: [Block[], Block[]] = [[...blocks], []];
  let least = Infinity;
  for (let right = 0; right < 2 ** Math.max(0, blocks.length - 1); right++) {
    const isRight = (index: number): boolean => index > 0 && (right & (1 << (index - 1))) !== 0;
    const sums = [0, 0];
    for (const [index, height] of heights.entries()) {
      const column = isRight(index) ? 1 : 0;
      sums[column] = (sums[column] ?? 0) + height;
    }
    const tallest = Math.max(...sums);
    if (tallest >= least - 1e-9) continue;
    least = tallest;
    best = [blocks.filter((_, index) => !isRight(index)), blocks.filter((_, index) => isRight(index))];
  }
  return best;
}

/** The block that takes most room of those that still may be shortened. */
function longestOf(
  blocks: readonly Block[],
  shown: readonly Block[],
  cut: readonly number[],
  downTo: 'keep' | 'least',
): number | null {
  let longest: number | null = null;
  let most = 0;
  for (const [index, block] of shown.entries()) {
    const whole = blocks[index] as Block;
    if (whole.rows.length - (cut[index] ?? 0) <= whole[downTo]) continue;
    const height = blockEm(block, SMALLEST);
    if (height > most) [longest, most] = [index, height];
  }
  return longest;
}

function shortened(block: Block, count: number): Block {
  if (count === 0) return block;
  const rows: Row[] = block.rows.slice(0, block.rows.length - count);
  return { ...block, rows: [...rows, { text: `… and ${count} more, not printed here` }] };
}

/** Reckoned once for a row and a width: the same rows are tried over and over. */
const reckoned = new WeakMap<Row, Map<number, number>>();

function rowEm(row: Row, columnEm: number): number {
  const byWidth = reckoned.get(row) ?? new Map<number, number>();
  reckoned.set(row, byWidth);
  const height = byWidth.get(columnEm) ?? reckonRowEm(row, columnEm);
  byWidth.set(columnEm, height);
  return height;
}

function reckonRowEm({ box, text, value, blanks }: Row, columnEm: number): number {
  const width = columnEm - (box ? tick : 0);
  const valueEm = value === undefined ? 0 : Math.min(textEm(value) * BOLD, 0.6 * width);
  const room = width - (value === undefined ? 0 : valueEm + valueGap);
  const toWrite = (blanks ?? []).map((name) => textEm(name) * small + blank + 2 * blankGap);
  const textLines = linesOf(text, room, 1, toWrite);
  const valueLines = value === undefined ? 0 : linesOf(value, valueEm + 0.01, BOLD);
  return Math.max(textLines, valueLines) * line + rowGap;
}

function blockEm({ rows, title }: Block, sizePt: number): number {
  const columnEm = (WIDTH_PT / sizePt - columnGap) / 2;
  const heading = linesOf(title, columnEm - 0.8, BOLD) * line + 2 * headingPad + headingGap;
  return heading + rows.reduce((sum, row) => sum + rowEm(row, columnEm), 0) + sectionGap;
}

function heightEm(column: readonly Block[], sizePt: number): number {
  return column.reduce((sum, block) => sum + blockEm(block, sizePt), 0);
}

/** The head, the work, the cautions in their frame, the basis and what is to be signed. */
function frameEm({ head, work, cautions, basis }: Frame, widthEm: number): number {
  const [first, ...rest] = head;
  const headLines = rest.reduce(
    (sum, [left, right]) => sum + Math.max(linesOf(left, 0.6 * widthEm - 1), linesOf(right, 0.38 * widthEm)),
    first === undefined ? 0 : linesOf(first[1], 0.38 * widthEm) - 1,
  );
  const title = linesOf(first?.[0] ?? '', (0.6 * widthEm - 1) / 1.75, BOLD) * 1.75 * line;
  const headEm = title + headLines * line + 0.5 + linesOf(work, widthEm, BOLD) * line + 0.6;
  const cautionEm = 1.25 + line + cautionColumns(cautions, widthEm).heightEm;
  const basisEm = basis === '' ? 0 : linesOf(basis, widthEm / small) * line * small + 0.4;
  return headEm + cautionEm + basisEm + line * small + 0.9;
}
