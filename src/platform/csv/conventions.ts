import type { Message } from '../../domain/message.js';
import { Problem } from '../problems/problem.js';
import type { MatchedColumn } from './columns.js';
import { unguarded } from './csv-text.js';
import { DATE_ORDERS, type DateOrder, dateOrderOf } from '../../domain/spreadsheets/dates.js';
import { DECIMAL_MARKS, type DecimalMark, decimalMarkOf } from '../../domain/spreadsheets/numbers.js';
import { comesFirst } from './date-cells.js';
import { message } from './messages.js';

/**
 * How a file writes numbers and dates. Null when nothing tells; then cells that can be read in two
 * ways are refused.
 */
export interface Conventions {
  decimal: DecimalMark | null;
  dateOrder: DateOrder | null;
}

/** A cell of the file, as messages quote it. */
export interface CellPlace {
  line: number;
  column: string;
  value: string;
}

/**
 * A convention and what decided it: the request, or the first cell that can be read in only one
 * way.
 */
export interface KnownBy<T extends string> {
  value: T | null;
  decidedBy: 'request' | 'cell' | null;
  cell: CellPlace | null;
}

type Contradiction<T> = [{ side: T; cell: CellPlace }, { side: T; cell: CellPlace }];

/** The messages about a contradiction: one for the file, and one for each of the two cells. */
interface Wording<T> {
  ofFile(first: Contradiction<T>[0], second: Contradiction<T>[1]): Message;
  ofCell(side: T): Message;
}

/** Keeps the first cell that proves each side. Two cells are enough, however long the file is. */
class Evidence<T extends string> {
  private readonly first = new Map<T, CellPlace>();

  constructor(
    private readonly sides: readonly [T, T],
    private readonly words: Wording<T>,
  ) {}

  add(side: T | null, place: () => CellPlace): void {
    if (side !== null && !this.first.has(side)) this.first.set(side, place());
  }

  /**
   * @throws Problem 422 naming both cells, when the file contradicts itself and the request does
   *   not decide
   */
  verdict(asked: T | undefined): KnownBy<T> {
    if (asked !== undefined) return { value: asked, decidedBy: 'request', cell: null };
    const [one, other] = this.sides.map((side) => ({ side, cell: this.first.get(side) }));
    if (one?.cell && other?.cell) throw this.contradiction([one, other] as Contradiction<T>);
    const known = one?.cell ? one : other;
    return known?.cell
      ? { value: known.side, decidedBy: 'cell', cell: known.cell }
      : { value: null, decidedBy: null, cell: null };
  }

  private contradiction(both: Contradiction<T>): Problem {
    const [one, other] = both;
    const [first, second] = one.cell.line <= other.cell.line ? [one, other] : [other, one];
    return new Problem(
      422,
      'unacceptable-content',
      this.words.ofFile(first, second),
      [first, second].map(({ side, cell }) => ({ ...cell, detail: this.words.ofCell(side) })),
    );
  }
}

/** Two cells as message values. */
function twoCells({ cell: first }: { cell: CellPlace }, { cell: second }: { cell: CellPlace }) {
  return {
    firstValue: first.value,
    firstLine: first.line,
    firstColumn: first.column,
    secondValue: second.value,
    secondLine: second.line,
    secondColumn: second.column,
  };
}

const OF_DECIMALS: Wording<DecimalMark> = {
  ofFile: (first, second) =>
    message('file-decimals-contradict', {
      ...twoCells(first, second),
      firstMark: first.side,
      secondMark: second.side,
    }),
  ofCell: (mark) => message('cell-only-with-decimal', { mark }),
};

const OF_ORDERS: Wording<DateOrder> = {
  ofFile: (first, second) =>
    message('file-dates-contradict', {
      ...twoCells(first, second),
      firstComesFirst: comesFirst(first.side),
      secondComesFirst: comesFirst(second.side),
    }),
  ofCell: (order) => message('cell-only-with-order', { comesFirst: comesFirst(order) }),
};

/** Collects what the cells of a file tell about how it writes numbers and dates. */
export class FileEvidence {
  private readonly decimals = new Evidence<DecimalMark>(DECIMAL_MARKS, OF_DECIMALS);
  private readonly orders = new Evidence<DateOrder>(DATE_ORDERS, OF_ORDERS);

  /** Looks at one row, whether or not the row is imported later. */
  see(line: number, cells: readonly string[], columns: readonly MatchedColumn[]): void {
    for (const { index, holds, header } of columns) {
      const cell = unguarded(cells[index] ?? '');
      const place = (): CellPlace => ({ line, column: header, value: cell.trim().slice(0, 60) });
      if (holds === 'number') this.decimals.add(decimalMarkOf(cell), place);
      else if (holds === 'date') this.orders.add(dateOrderOf(cell), place);
    }
  }

  /** @throws Problem 422 when the file contradicts itself and the request does not decide */
  verdict(asked: { decimal?: DecimalMark; dateOrder?: DateOrder }): {
    decimal: KnownBy<DecimalMark>;
    dateOrder: KnownBy<DateOrder>;
  } {
    return {
      decimal: this.decimals.verdict(asked.decimal),
      dateOrder: this.orders.verdict(asked.dateOrder),
    };
  }
}
