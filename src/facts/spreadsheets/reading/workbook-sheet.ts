import { columnIndex, isEmpty, type SheetCell, type SheetRow } from '../../../domain/spreadsheets/sheet.js';
import { LIMITS } from './limits.js';
import { message } from './messages.js';
import { type Shown, shownNumber } from './number-formats.js';
import type { Package } from './unpack.js';
import { UnreadableSheet } from './unreadable.js';
import { type Element, readXml } from './xml.js';

/** What the cells of a sheet refer to. */
export interface WorkbookParts {
  strings: readonly string[];
  styles: readonly Shown[];
  is1904: boolean;
}

/** A merged range: the rows below its first show the first's value. */
interface Merge {
  index: number;
  first: number;
  last: number;
}

/** Collects the rows of one sheet. Formulas are not looked at: only the values kept with them. */
class SheetReader {
  readonly rows: SheetRow[] = [];
  readonly merges: Merge[] = [];
  private row = 0;
  private cells: SheetCell[] = [];
  private index = -1;
  private type = 'n';
  private style = 0;
  private value: string | null = null;
  private isText = false;
  private isPhonetic = false;
  private characters = 0;

  constructor(
    private readonly sheet: string,
    private readonly parts: WorkbookParts,
  ) {}

  open({ name, attributes }: Element): void {
    if (name === 'row') this.openRow(attributes);
    else if (name === 'c') this.openCell(attributes);
    else if (name === 'rPh') this.isPhonetic = true;
    else if ((name === 'v' || name === 't') && !this.isPhonetic) {
      this.isText = true;
      this.value ??= '';
    } else if (name === 'mergeCell') this.merge(attributes['ref'] ?? '');
  }

  text(text: string): void {
    if (!this.isText) return;
    this.value = (this.value ?? '') + text;
    this.characters += text.length;
    if (this.value.length > LIMITS.cellCharacters)
      throw new UnreadableSheet(message('sheet-cell-too-long', { most: LIMITS.cellCharacters }), {
        line: this.row,
      });
    if (this.characters > LIMITS.characters) throw new UnreadableSheet(message('sheet-too-much-text'));
  }

  close(name: string): void {
    if (name === 'v' || name === 't') this.isText = false;
    else if (name === 'rPh') this.isPhonetic = false;
    else if (name === 'c') this.closeCell();
    else if (name === 'row') this.closeRow();
  }

  private openRow({ r }: Element['attributes']): void {
    const given = r === undefined ? Number.NaN : Number(r);
    this.row = Number.isSafeInteger(given) && given > this.row ? given : this.row + 1;
    this.cells = [];
    this.index = -1;
  }

  private openCell({ r, t, s }: Element['attributes']): void {
    const named = columnIndex(/^([A-Z]+)\d+$/i.exec(r ?? '')?.[1] ?? '');
    // Longer letters than any spreadsheet has name a column that is too far right.
    this.index = r === undefined ? this.index + 1 : (named ?? LIMITS.columns);
    this.type = t ?? 'n';
    this.style = Number(s ?? 0);
    this.value = null;
  }

  private closeCell(): void {
    const cell = this.value === null ? null : this.cellOf(this.value);
    this.value = null;
    if (isEmpty(cell)) return;
    if (this.index >= LIMITS.columns)
      throw new UnreadableSheet(
        message('sheet-too-many-columns', { sheet: this.sheet, most: LIMITS.columns }),
        { line: this.row },
      );
    while (this.cells.length < this.index) this.cells.push(null);
    this.cells[this.index] = cell;
  }

  private cellOf(value: string): SheetCell {
    switch (this.type) {
      case 's':
        return this.parts.strings[Number(value)] ?? null;
      case 'b':
        return value === '1' || value === 'true';
      case 'd':
        return {
          at: value
            .slice(0, 16)
            .replace('T', ' ')
            .replace(/ 00:00$/, ''),
        };
      case 'inlineStr':
      case 'str':
      case 'e':
        return value;
      default: {
        const number = Number(value);
        if (value.trim() === '' || !Number.isFinite(number)) return value;
        return shownNumber(number, this.parts.styles[this.style] ?? 'number', this.parts.is1904);
      }
    }
  }

  private closeRow(): void {
    if (this.cells.length === 0) return;
    if (this.rows.length > LIMITS.rows)
      throw new UnreadableSheet(message('sheet-too-many-rows', { sheet: this.sheet, most: LIMITS.rows }));
    this.rows.push({ row: this.row, cells: this.cells });
  }

  private merge(ref: string): void {
    const found = /^([A-Z]{1,3})(\d{1,7}):[A-Z]{1,3}(\d{1,7})$/i.exec(ref);
    const index = columnIndex(found?.[1] ?? '');
    if (found === null || index === null || this.merges.length >= LIMITS.merges) return;
    const [first, last] = [Number(found[2]), Number(found[3])];
    if (last > first) this.merges.push({ index, first, last });
  }
}

/** Reads the rows of a sheet that hold something. @throws UnreadableSheet */
export async function readSheet(
  packed: Package,
  path: string,
  sheet: string,
  parts: WorkbookParts,
): Promise<SheetRow[]> {
  const reader = new SheetReader(sheet, parts);
  await readXml(packed, path, {
    open: (element) => reader.open(element),
    text: (text) => reader.text(text),
    close: (name) => reader.close(name),
  });
  return filledDown(reader.rows, reader.merges);
}

/** Gives the rows below the first of a merged range its value, as the eye does. */
function filledDown(rows: SheetRow[], merges: readonly Merge[]): SheetRow[] {
  if (merges.length === 0) return rows;
  const byIndex = new Map<number, Merge[]>();
  for (const merge of merges) byIndex.set(merge.index, [...(byIndex.get(merge.index) ?? []), merge]);
  for (const [index, own] of byIndex)
    fillColumn(
      rows,
      index,
      own.toSorted((a, b) => a.first - b.first),
    );
  return rows;
}

function fillColumn(rows: readonly SheetRow[], index: number, merges: readonly Merge[]): void {
  let next = 0;
  let value: SheetCell = null;
  for (const { row, cells } of rows) {
    while ((merges[next]?.last ?? Infinity) < row) next++;
    const merge = merges[next];
    if (merge === undefined) return;
    if (row < merge.first) continue;
    const own = cells as SheetCell[];
    if (row === merge.first) value = own[index] ?? null;
    else if (!isEmpty(value) && isEmpty(own[index])) {
      while (own.length < index) own.push(null);
      own[index] = value;
    }
  }
}
