import type { EntityManager } from 'typeorm';
import type { SheetAnalysis } from '../../domain/spreadsheets/analyse.js';
import { firstOf, MOST_VALUES, NAME_FIELDS, type SheetFacts } from '../../domain/spreadsheets/ask-values.js';
import { type FieldName, UNIT_FIELD } from '../../domain/spreadsheets/fields.js';
import type { FullFacts } from '../../domain/spreadsheets/mapping.js';
import type { QuestionValue } from '../../domain/spreadsheets/questions.js';
import { alikeUnits, unitKey } from '../../domain/spreadsheets/unit-numbers.js';
import { strangeWords } from '../../domain/spreadsheets/words.js';
import { nearest } from '../../platform/csv/nearest.js';
import { type NamedTable, namedRows, someNames } from '../../register/vehicles/vehicles.queries.js';
import { unitNumbersOf } from './spreadsheets.queries.js';
import { TERMS } from './word-terms.js';

const TABLES: Readonly<Record<(typeof NAME_FIELDS)[number], NamedTable>> = {
  depot: 'depots',
  specSheet: 'spec_sheets',
  intervalPlan: 'interval_plans',
};

/** What a file says that the fleet's records do not know: all of it, and the first of each. */
export interface FoundFacts {
  full: FullFacts & { names: Record<string, string[]> };
  facts: SheetFacts;
}

type Distinct = SheetAnalysis['distinct'];

/** Compares the texts of a file with the fleet's records. */
export async function factsOf(
  manager: EntityManager,
  fleetId: string,
  { distinct, kind }: Pick<SheetAnalysis, 'distinct' | 'kind'>,
): Promise<FoundFacts> {
  const units = await unitFacts(manager, fleetId, distinct[UNIT_FIELD[kind]] ?? {}, kind !== 'vehicles');
  const names = await nameFacts(manager, fleetId, distinct);
  const words = wordFacts(distinct);
  return {
    full: {
      alike: units.alike.map(({ given, use }) => ({ given, use: use ?? given })),
      names: Object.fromEntries(
        Object.entries(names).map(([field, all]) => [field, all.map(({ given }) => given)]),
      ),
      words,
    },
    facts: {
      alike: firstOf(units.alike),
      unknownUnits: { count: units.unknown.length, first: units.unknown.slice(0, 10) },
      names: Object.fromEntries(Object.entries(names).map(([field, all]) => [field, firstOf(all)])),
      words: Object.fromEntries(Object.entries(words).map(([field, all]) => [field, firstOf(all)])),
    },
  };
}

async function unitFacts(
  manager: EntityManager,
  fleetId: string,
  counts: Readonly<Record<string, number>>,
  mustExist: boolean,
): Promise<{ alike: QuestionValue[]; unknown: string[] }> {
  const given = Object.entries(counts);
  if (given.length === 0) return { alike: [], unknown: [] };
  const keys = new Set(given.map(([unit]) => unitKey(unit)));
  const known = (await unitNumbersOf(manager, fleetId)).filter((unit) => keys.has(unitKey(unit)));
  const alike = alikeUnits(new Map(given), known);
  const settled = new Set([...known, ...alike.filter(({ isKnown }) => isKnown).map((unit) => unit.given)]);
  return {
    alike: alike.map(({ given: unit, meant }) => ({ given: unit, rows: counts[unit] ?? 0, use: meant })),
    unknown: mustExist ? given.flatMap(([unit]) => (settled.has(unit) ? [] : [unit])) : [],
  };
}

async function nameFacts(
  manager: EntityManager,
  fleetId: string,
  distinct: Distinct,
): Promise<Record<string, QuestionValue[]>> {
  const found: Record<string, QuestionValue[]> = {};
  for (const field of NAME_FIELDS) {
    const counts = Object.entries(distinct[field] ?? {});
    if (counts.length === 0) continue;
    const rows = await namedRows(
      manager,
      fleetId,
      TABLES[field],
      counts.map(([name]) => name),
    );
    const known = new Set(rows.flatMap(({ id, name }) => [id, name.toLowerCase()]));
    const unknown = counts.filter(([name]) => !known.has(name.toLowerCase()));
    const near = unknown.length === 0 ? [] : await someNames(manager, fleetId, TABLES[field]);
    found[field] = unknown.map(([given, count], index) => ({
      ...{ given, rows: count, use: null },
      nearest: index < MOST_VALUES ? nearest(given, near) : null,
    }));
  }
  return found;
}

function wordFacts(
  distinct: Distinct,
): Record<string, { given: string; rows: number; use: string | null }[]> {
  return Object.fromEntries(
    Object.entries(distinct).flatMap(([field, counts]) => {
      const strange = strangeWords(field as FieldName, counts, TERMS[field] ?? {});
      return strange.length === 0 ? [] : [[field, strange]];
    }),
  );
}
