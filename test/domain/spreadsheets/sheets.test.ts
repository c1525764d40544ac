import fc from 'fast-check';
import { analyseSheet } from '../../../src/domain/spreadsheets/analyse.js';
import { askColumns } from '../../../src/domain/spreadsheets/ask-columns.js';
import { fieldsNamed } from '../../../src/domain/spreadsheets/header-names.js';
import { proposeColumns } from '../../../src/domain/spreadsheets/propose.js';
import { readRow } from '../../../src/domain/spreadsheets/read-row.js';
import type { SheetCell } from '../../../src/domain/spreadsheets/sheet.js';
import { alikeUnits, unitKey } from '../../../src/domain/spreadsheets/unit-numbers.js';

const NONE = { kind: null, headerRow: null, columns: {} };
const sheet = (rows: readonly (readonly SheetCell[])[]) => rows.map((cells, at) => ({ row: at + 1, cells }));
const analysed = (rows: readonly (readonly SheetCell[])[]) => analyseSheet(sheet(rows), NONE, 'us');
const fieldsOf = (rows: readonly (readonly SheetCell[])[]) => {
  const { columns, kind } = analysed(rows);
  return proposeColumns(columns, kind, {}, 'us').map(({ field }) => field);
};

describe('a header', () => {
  it.each([
    ['Unit #', 'vehicles', 'unitNumber', null],
    ['UNIT NO.', 'vehicles', 'unitNumber', null],
    ['Veh', 'job-reports', 'unit', null],
    ['Núm. de unidad', 'vehicles', 'unitNumber', null],
    ['Home Yard', 'vehicles', 'depot', null],
    ['Año', 'vehicles', 'modelYear', null],
    ['Current Mileage', 'usage-readings', 'odometer', null],
    ['Odo (km)', 'usage-readings', 'odometer', 'km'],
    ['Kilometraje', 'usage-readings', 'odometer', null],
    ['Miles', 'usage-readings', 'odometer', 'mi'],
    ['Hrs', 'usage-readings', 'engineHours', 'h'],
    ['As of', 'usage-readings', 'readAt', null],
  ] as const)('%s of %s is %s in %s', (header, kind, field, unit) =>
    expect(fieldsNamed(header, kind)[0]).toMatchObject({ field, unit }),
  );

  it.each(['Remarks', 'Color', '', '2019'])('%j is nothing known', (header) =>
    expect(fieldsNamed(header, 'vehicles')).toEqual([]),
  );
});

describe('the list of a yard', () => {
  it('is found below its titles, without totals, notes and repeated headers', () => {
    const found = analysed([
      ['Ridge County'],
      ['Printed 3/4/2025'],
      ['Unit', 'Make', 'Yard'],
      ['A-1', 'Alder', 'North'],
      ['Unit', 'Make', 'Yard'],
      ['A-2', 'Birch', 'North'],
      ['Grand total', 2],
      [null, 'see the other list'],
    ]);
    expect(found).toMatchObject({ kind: 'vehicles', headerRow: 3, rows: 2, titles: { count: 2 } });
    expect(found.oddRows.map(({ row, why }) => [row, why])).toEqual([
      [5, 'repeated-header'],
      [7, 'total'],
      [8, 'note'],
    ]);
    expect(found.distinct.depot).toEqual({ North: 2 });
  });

  it('gives a field to the surest column alone, and knows a VIN by its form', () => {
    const vin = '1M8GDM9AXKP042788';
    expect(
      fieldsOf([
        ['Unit', 'Vehicle No', 'Remarks'],
        ['A', 'B', vin],
      ]),
    ).toEqual(['unitNumber', null, 'vin']);
  });

  it('is of the kind that its columns need', () => {
    expect(
      analysed([
        ['Unit', 'Date', 'Miles'],
        ['A', '2026-01-01', 5],
      ]).kind,
    ).toBe('usage-readings');
    expect(
      analysed([
        ['Unidad', 'Componente', 'Trabajo', 'Fecha'],
        ['A', 'b', 'c', 'd'],
      ]).kind,
    ).toBe('job-reports');
    expect(
      analysed([
        ['Unit', 'VIN', 'Make'],
        ['A', 'b', 'c'],
      ]).kind,
    ).toBe('vehicles');
  });
});

describe('a column', () => {
  const asked = (...cells: SheetCell[]) => {
    const { columns, kind } = analysed([
      ['Unit', 'Date', 'Miles'],
      ...cells.map((cell) => ['A', '2026-01-01', cell]),
    ]);
    return askColumns(proposeColumns(columns, kind, {}, 'us'), kind, {}).map(({ id }) => id);
  };

  it.each([
    [['81,370'], ['decimal:C']],
    [['81,370', '81,370.5'], []],
    [['81,370', '12,5'], []],
    [['0.75', '12,5'], ['decimal:C']],
    [['81370', 12.5], []],
    [['81,370 mi'], ['decimal:C']],
  ])('of %j asks %j', (cells, ids) => expect(asked(...cells)).toEqual(ids));
});

describe('a row', () => {
  const column = (field: string, index: number) => ({
    field,
    index,
    unit: null,
    decimal: null,
    dateOrder: null,
  });
  const read = (cell: SheetCell, about: object) => {
    const columns = [{ ...column('odometer', 0), unit: 'mi', ...about } as never];
    const row = readRow(
      { row: 1, cells: [cell] },
      { kind: 'usage-readings', columns, is1904: false, replaced: {} },
    );
    return [row.cells.get('odometer') ?? null, row.unread.get('odometer')?.code ?? null];
  };

  it.each([
    // 1 mi is 1.609344 km.
    ['120300 km', { decimal: null }, '74750.9544262', null],
    ['81,370', { decimal: 'point' }, '81370', null],
    ['81,370', { decimal: 'comma' }, '81.37', null],
    ['81,370', { decimal: null }, '81,370', 'sheet-cell-two-numbers'],
    ['12.5', { decimal: 'comma' }, '12.5', 'sheet-cell-not-by-mark'],
    ['n/a', { decimal: null }, null, null],
    ['about 5', { decimal: null }, 'about 5', 'sheet-cell-not-number'],
    [{ at: '2021-03-14' }, { decimal: null }, '2021-03-14', 'sheet-cell-not-number'],
  ] as const)('reads %j with %j as %j, fault %j', (cell, about, value, fault) =>
    expect(read(cell, about)).toEqual([value, fault]),
  );

  it('gives every number back as it was written, in each form that a column can have', () => {
    const forms = { point: 'en-US', comma: 'de-DE' } as const;
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 9_999_999 }),
        fc.constantFrom('point', 'comma'),
        (tenths, decimal) => {
          const value = tenths / 10;
          expect(read(value.toLocaleString(forms[decimal]), { decimal })).toEqual([String(value), null]);
          expect(read(value, { decimal: null })).toEqual([String(value), null]);
        },
      ),
    );
  });

  it('gives every day back as it was written, in either order', () => {
    fc.assert(
      fc.property(
        fc.date({ min: new Date('1990-01-01'), max: new Date('2060-01-01'), noInvalidDate: true }),
        fc.constantFrom('day-first', 'month-first'),
        fc.constantFrom('/', '.', '-'),
        (date, dateOrder, mark) => {
          const iso = date.toISOString().slice(0, 10);
          const [year, month, day] = iso.split('-').map(Number) as [number, number, number];
          const text = (dateOrder === 'day-first' ? [day, month, year] : [month, day, year]).join(mark);
          const columns = [{ ...column('date', 0), dateOrder } as never];
          const about = { kind: 'job-reports' as const, columns, is1904: false, replaced: {} };
          expect(readRow({ row: 1, cells: [text] }, about).cells.get('date')).toBe(iso);
        },
      ),
    );
  });
});

describe('unit numbers', () => {
  it('are the same by their key if only case, blanks, hyphens or zeros differ', () => {
    expect(['cx-038', 'CX 38', 'CX–0038', 'cx_38'].map(unitKey)).toEqual(Array(4).fill('CX38'));
    expect(unitKey('CX-380')).not.toBe(unitKey('CX-038'));
  });

  it('are paired with the known one, else with the one written most', () => {
    const given = new Map([
      ['a-1', 1],
      ['A1', 3],
      ['B-2', 1],
      ['C-3', 1],
    ]);
    expect(alikeUnits(given, ['b 2'])).toEqual([
      { given: 'a-1', meant: 'A1', isKnown: false },
      { given: 'B-2', meant: 'b 2', isKnown: true },
    ]);
  });
});
