/**
 * How wide text is when printed, for choosing the size of type before any browser has seen the page. The widths are those of the wider of Arial and DejaVu Sans Condensed,
 * rounded up, so that whichever of the page's fonts a machine has, no line takes more room than reckoned.
 */
const WIDTHS_EM: readonly (readonly [RegExp, number])[] = [
  [/[ijl.,:;'’|! ·]/, 0.29],
  [/[()[\]/-]/, 0.36],
  [/[tfrI]/, 0.38],
  [/[cksvxyz]/, 0.535],
  [/[a-z]/, 0.56],
  [/[0-9]/, 0.58],
  [/[A-Z]/, 0.71],
  [/[°"“”]/, 0.5],
];
const WIDEST_EM = 0.95;
const WIDE_EM = 0.76;
/** Chinese, Japanese, Korean and pictures are as wide as high; pictures a little wider. */
const FULL_WIDTH_EM = 1.35;
const FULL_WIDTH_FROM = 0x1100;
/** Marks of general punctuation: dashes, the ellipsis, arrows. */
const PUNCTUATION = { from: 0x2000, to: 0x2bff } as const;

function characterEm(character: string): number {
  if (/[mwMW@%—…]/.test(character)) return WIDEST_EM;
  const known = WIDTHS_EM.find(([characters]) => characters.test(character));
  if (known) return known[1];
  const code = character.codePointAt(0) ?? 0;
  const isMark = code >= PUNCTUATION.from && code <= PUNCTUATION.to;
  return code >= FULL_WIDTH_FROM && !isMark ? FULL_WIDTH_EM : WIDE_EM;
}

/** Width of a text on one line, in em. @example textEm('50 %') // 2.4 */
export function textEm(text: string): number {
  let width = 0;
  for (const character of text) width += characterEm(character);
  return width;
}

/** How much wider bold type is. */
export const BOLD = 1.13;

/**
 * Lines that a text takes in a column, broken between words; a word that is wider than the column is broken anywhere.
 *
 * @param columnEm width of the column in em
 * @param factor of the type's width, such as `BOLD`
 * @param after widths in em of what follows the text on its last line, none of it to be broken
 * @example linesOf('Coolant is poisonous', 6) // 2
 */
export function linesOf(text: string, columnEm: number, factor = 1, after: readonly number[] = []): number {
  const space = textEm(' ') * factor;
  let lines = 1;
  let used = 0;
  for (const width of [...text.split(/\s+/).map((word) => textEm(word) * factor), ...after]) {
    if (used > 0 && used + space + width > columnEm) {
      lines++;
      used = 0;
    }
    if (width > columnEm) {
      // Full-width characters leave up to one of their own width unused at the end of each line.
      const perLine = Math.max(columnEm - FULL_WIDTH_EM, 1);
      lines += Math.ceil(width / perLine) - 1;
      used = columnEm;
    } else used += (used > 0 ? space : 0) + width;
  }
  return lines;
}
