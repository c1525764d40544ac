import { MEASURES, type UnitSystem } from '../quantities/measures.js';
import type { Unit } from '../quantities/units.js';
import { type ColumnSurvey, provenMark, provenOrder } from './column-survey.js';
import type { DateOrder } from './dates.js';
import { type FieldName, fieldOf, type SheetField, NEEDED, SHEET_KINDS, type SheetKind } from './fields.js';
import { fieldsNamed, type NamedField } from './header-names.js';
import type { DecimalMark } from './numbers.js';
import { columnName, type ColumnReading } from './sheet.js';

/** What a client chose for a column. What is left out is proposed. */
export interface ColumnChoice {
  field?: FieldName | null;
  unit?: Unit | null;
  decimal?: DecimalMark | null;
  dateOrder?: DateOrder | null;
}

/** What decided that a column is a field. */
export type DecidedBy = 'choice' | 'header' | 'content';

/** A column with its place in the mapping. */
export interface ProposedColumn extends Omit<ColumnReading, 'field'> {
  survey: ColumnSurvey;
  field: FieldName | null;
  decidedBy: DecidedBy | null;
  /** What the unit follows from: null where there is none. */
  unitBy: 'choice' | 'header' | 'fleet' | null;
}

/** How well a file fits each kind, the best first. */
export interface KindGuess {
  kind: SheetKind;
  /** The fields found, and how many of the needed ones are missing. */
  found: number;
  missing: number;
}

/** Which kind a file most probably is, by its headers. */
export function guessKind(columns: readonly ColumnSurvey[]): KindGuess[] {
  const guesses = SHEET_KINDS.map((kind) => {
    const fields = new Set(columns.flatMap(({ header }) => fieldsNamed(header, kind)[0]?.field ?? []));
    const missing = NEEDED[kind].filter((group) => !group.some((name) => fields.has(name))).length;
    return { kind, found: fields.size, missing };
  });
  return guesses.sort((a, b) => worth(b) - worth(a));
}

/** A kind whose needed fields are there beats one that only shares the unit number. */
function worth({ kind, found, missing }: KindGuess): number {
  const isRicher = missing === 0 && kind !== 'vehicles' ? 1 : 0;
  return found + isRicher - 2 * missing;
}

/** Whether the best guess is no better than the next one. */
export function isKindOpen([best, next]: readonly KindGuess[]): boolean {
  if (best === undefined || next === undefined) return false;
  return best.found === 0 || worth(best) - worth(next) < 1;
}

/**
 * Proposes what each column is: what the client chose, else what the header says, else what only a
 * VIN looks like. Each field goes to one column: the surest header, of equals the fullest.
 */
export function proposeColumns(
  surveys: readonly ColumnSurvey[],
  kind: SheetKind,
  choices: Readonly<Record<string, ColumnChoice>>,
  system: UnitSystem,
): ProposedColumn[] {
  const chosen = new Map(
    surveys.flatMap((survey) => {
      const choice = choices[columnName(survey.index)]?.field;
      return choice === undefined ? [] : [[survey.index, choice] as const];
    }),
  );
  const taken = new Set([...chosen.values()].filter((name) => name !== null));
  const named = headersOf(surveys, kind, chosen, taken);
  return surveys.map((survey) => {
    const { index } = survey;
    const byHeader = named.get(index);
    const isChosen = chosen.has(index);
    const name = isChosen ? (chosen.get(index) ?? null) : (byHeader?.field ?? null);
    const field = name === null ? null : fieldOf(kind, name);
    const decidedBy =
      field === null ? (isChosen ? 'choice' : null) : isChosen ? 'choice' : (byHeader?.by ?? 'header');
    return {
      ...{ index, survey, decidedBy, field: field?.name ?? null },
      ...readingOf(survey, kind, field, choices[columnName(index)] ?? {}, system),
    };
  });
}

type Named = NamedField & { by: DecidedBy };

function headersOf(
  surveys: readonly ColumnSurvey[],
  kind: SheetKind,
  chosen: ReadonlyMap<number, FieldName | null>,
  taken: Set<FieldName>,
): Map<number, Named> {
  const claims = surveys
    .filter(({ index }) => !chosen.has(index))
    .flatMap((survey) => fieldsNamed(survey.header, kind).map((named) => ({ survey, named })))
    .sort((a, b) => b.named.score - a.named.score || b.survey.filled - a.survey.filled);
  const found = new Map<number, Named>();
  for (const { survey, named } of claims) {
    if (taken.has(named.field) || found.has(survey.index)) continue;
    taken.add(named.field);
    found.set(survey.index, { ...named, by: 'header' });
  }
  const vin = surveys.find(
    ({ index, filled, vinTexts }) =>
      !chosen.has(index) && !found.has(index) && filled > 0 && vinTexts >= 0.8 * filled,
  );
  if (vin && kind === 'vehicles' && !taken.has('vin'))
    found.set(vin.index, { field: 'vin', unit: null, score: 2, by: 'content' });
  return found;
}

function readingOf(
  survey: ColumnSurvey,
  kind: SheetKind,
  field: SheetField | null,
  choice: ColumnChoice,
  system: UnitSystem,
): Pick<ProposedColumn, 'unit' | 'unitBy' | 'decimal' | 'dateOrder'> {
  const isNumber = field?.holds === 'number';
  const isDate = field?.holds === 'date' || field?.holds === 'instant';
  const decimal = isNumber ? (choice.decimal ?? provenMark(survey)) : null;
  const dateOrder = isDate ? (choice.dateOrder ?? provenOrder(survey)) : null;
  if (!field?.measure) return { unit: null, unitBy: null, decimal, dateOrder };
  const inHeader = fieldsNamed(survey.header, kind).find((named) => named.field === field.name)?.unit ?? null;
  const [unit, unitBy] = choice.unit
    ? ([choice.unit, 'choice'] as const)
    : inHeader !== null
      ? ([inHeader, 'header'] as const)
      : ([MEASURES[field.measure][system], 'fleet'] as const);
  return { unit, unitBy, decimal, dateOrder };
}
