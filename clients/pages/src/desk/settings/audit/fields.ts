import { tell } from '../../../kit/texts/tell.js';
import { FIELDS, type NamedField, message } from './messages.js';

/** What stands at the end of a column that keeps a quantity, and how the unit is written. */
const UNITS: readonly (readonly [end: string, unit: string])[] = [
  ['UnitsPerGallon', '1/gal'],
  ['MgPerL', 'mg/L'],
  ['Percent', '%'],
  ['Minutes', 'min'],
  ['Kpa', 'kPa'],
  ['Km', 'km'],
  ['Nm', 'N·m'],
  ['Mm', 'mm'],
  ['Hz', 'Hz'],
  ['L', 'L'],
  ['M', 'm'],
  ['C', '°C'],
  ['K', 'K'],
];

const isNamed = (field: string): field is NamedField => (FIELDS as readonly string[]).includes(field);

/** `everyMonths` as `every months` */
const spaced = (field: string): string =>
  field
    .replaceAll(/([a-z0-9])([A-Z])/g, (_both, end: string, start: string) => `${end} ${start}`)
    .toLowerCase();

/** What a field is called. Those that have no name of their own are called as the API calls them. */
export function fieldInWords(field: string): string {
  if (isNamed(field)) return tell(message(`desk-audit-field-${field}`));
  const [end, unit] = UNITS.find(([ending]) => field.endsWith(ending)) ?? ['', ''];
  const rest = spaced(field.slice(0, field.length - end.length));
  return unit === '' ? rest : `${rest}, ${unit}`;
}
