/** The limits of a file. More than any yard has; what goes beyond is something else, or an attack. */
export const LIMITS = {
  /** Of the file as it is sent. */
  fileBytes: 32 * 1024 * 1024,
  /** Files in a workbook. Those of many sheets have some dozens. */
  entries: 2000,
  /** Of all that is unpacked from a workbook. */
  unpackedBytes: 200 * 1024 * 1024,
  /** How much larger than packed a part may be, once it is larger than `ratioFrom`. */
  ratio: 300,
  ratioFrom: 8 * 1024 * 1024,
  sheets: 50,
  rows: 100_000,
  columns: 200,
  /** Characters of one cell; a spreadsheet holds no more (ECMA-376 part 1, 18.18.33). */
  cellCharacters: 32_767,
  /** Characters of all cells. */
  characters: 40_000_000,
  merges: 20_000,
} as const;
