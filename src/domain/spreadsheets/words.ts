import { ACTIONS, COMPONENTS, DUTIES } from '../intervals/types.js';
import { CIRCUITS } from '../vehicles/circuits.js';
import type { FieldName } from './fields.js';
import { wordsOf } from './header-names.js';

/** A list of words that the imports know, and what people write for them. */
interface WordList {
  known: readonly string[];
  /** Common practice, no source. Always asked about. */
  meant: Readonly<Record<string, string>>;
}

const FLAGS: WordList = {
  known: ['true', 'false', 'yes', 'no', 'y', 'n', '1', '0'],
  meant: { si: 'true', x: 'true' },
};

const LISTS: Partial<Record<FieldName, WordList>> = {
  duty: {
    known: DUTIES,
    meant: {
      heavy: 'severe',
      hard: 'severe',
      severo: 'severe',
      pesado: 'severe',
      light: 'normal',
      regular: 'normal',
    },
  },
  status: {
    known: ['in-use', 'laid-up', 'disposed'],
    meant: {
      ...{
        active: 'in-use',
        'in-service': 'in-use',
        activo: 'in-use',
        'en-servicio': 'in-use',
        'en-uso': 'in-use',
      },
      ...{ inactive: 'laid-up', stored: 'laid-up', parked: 'laid-up', 'out-of-service': 'laid-up' },
      ...{ inactivo: 'laid-up', 'fuera-de-servicio': 'laid-up', parado: 'laid-up', sold: 'disposed' },
      ...{
        retired: 'disposed',
        scrapped: 'disposed',
        surplus: 'disposed',
        vendido: 'disposed',
        baja: 'disposed',
      },
    },
  },
  component: {
    known: COMPONENTS,
    meant: {
      ...{
        antifreeze: 'coolant',
        refrigerante: 'coolant',
        anticongelante: 'coolant',
        waterpump: 'water-pump',
      },
      ...{
        'bomba-de-agua': 'water-pump',
        belt: 'drive-belt',
        'serpentine-belt': 'drive-belt',
        'v-belt': 'drive-belt',
      },
      ...{ 'fan-belt': 'drive-belt', banda: 'drive-belt', correa: 'drive-belt', termostato: 'thermostat' },
      ...{
        radiador: 'radiator',
        'rad-cap': 'radiator-cap',
        'tapon-de-radiador': 'radiator-cap',
        tensor: 'tensioner',
      },
      ...{
        'belt-tensioner': 'tensioner',
        'idler-pulley': 'idler',
        'polea-loca': 'idler',
        'expansion-tank': 'reservoir',
      },
    },
  },
  action: {
    known: ACTIONS,
    meant: {
      ...{ replaced: 'replace', changed: 'replace', change: 'replace', new: 'replace', cambio: 'replace' },
      ...{
        cambiado: 'replace',
        reemplazo: 'replace',
        reemplazado: 'replace',
        checked: 'inspect',
        check: 'inspect',
      },
      ...{
        inspected: 'inspect',
        revisado: 'inspect',
        revision: 'inspect',
        inspeccion: 'inspect',
        flushed: 'flush',
      },
      ...{ lavado: 'flush', enjuague: 'flush', adjusted: 'adjust', ajuste: 'adjust', ajustado: 'adjust' },
      ...{
        tested: 'test',
        prueba: 'test',
        probado: 'test',
        cleaned: 'clean',
        limpieza: 'clean',
        limpiado: 'clean',
      },
    },
  },
  circuit: { known: CIRCUITS, meant: { motor: 'engine', bateria: 'battery', cabina: 'cabin' } },
  odometerReplaced: FLAGS,
  engineHoursReplaced: FLAGS,
};

/** A word as it is compared. @example wordKey('Water Pump') // 'water-pump' */
export const wordKey = (text: string): string => wordsOf(text.toLowerCase()).join('-');

/** The words that a field can have; null when any text will do. */
export function knownWords(field: FieldName): readonly string[] | null {
  return LISTS[field]?.known ?? null;
}

/** A word of a file that is not one of the list, and the word it probably stands for. */
export interface StrangeWord {
  given: string;
  rows: number;
  use: string | null;
}

/**
 * The words of a field that are not known as they are written.
 *
 * @param terms further names of the known words, such as their translations, by key
 */
export function strangeWords(
  field: FieldName,
  counts: Readonly<Record<string, number>>,
  terms: Readonly<Record<string, string>>,
): StrangeWord[] {
  const list = LISTS[field];
  if (list === undefined) return [];
  return Object.entries(counts).flatMap(([given, rows]) => {
    // As the imports read a word.
    if (list.known.includes(given.toLowerCase().replaceAll(/[\s_]+/g, '-'))) return [];
    const key = wordKey(given);
    const own = (names: Readonly<Record<string, string>>): string | null =>
      Object.hasOwn(names, key) ? (names[key] ?? null) : null;
    const isKnown = list.known.includes(key);
    return [{ given, rows, use: isKnown ? key : (own(terms) ?? own(list.meant)) }];
  });
}
