import { type Dimension, dimensionOf, type Unit, unitsOf } from '../quantities/units.js';
import { MEASURES } from '../quantities/measures.js';
import { type FieldName, FIELDS, type SheetField, type SheetKind } from './fields.js';
import { unitNamed } from './numbers.js';

/**
 * What people write above their columns, in English and Spanish, without accents, blanks and marks.
 * Collected from what yards call these things; common practice, no source.
 */
const UNIT = [
  ...['unit', 'unitid', 'vehicle', 'vehicleid', 'veh', 'vehid', 'equipment', 'equip', 'asset', 'assettag'],
  ...['truck', 'bus', 'machine', 'fleet', 'unidad', 'economico', 'vehiculo', 'equipo', 'camion', 'maquina'],
];
const ODOMETER = ['odometer', 'odo', 'odom', 'mileage', 'odometro', 'kilometraje', 'millaje', 'recorrido'];
const HOURS = [
  ...['enginehours', 'hours', 'enghours', 'enginehrs', 'enghrs', 'hourmeter', 'meterhours', 'runhours'],
  ...['hourreading', 'horas', 'horasmotor', 'horasdemotor', 'horometro'],
];

const NAMES: Readonly<Record<FieldName, readonly string[]>> = {
  unitNumber: UNIT,
  unit: UNIT,
  depot: [
    ...['depot', 'yard', 'location', 'loc', 'garage', 'base', 'site', 'shop', 'station', 'terminal', 'barn'],
    ...['homebase', 'patio', 'deposito', 'taller', 'ubicacion', 'sucursal', 'plantel', 'cochera', 'encierro'],
  ],
  specSheet: ['specsheet', 'spec', 'specs', 'specification', 'fichatecnica', 'hojatecnica'],
  intervalPlan: [
    ...['intervalplan', 'plan', 'pmplan', 'serviceplan', 'maintenanceplan', 'pmschedule'],
    ...['plandemantenimiento', 'planmantenimiento'],
  ],
  duty: ['duty', 'dutycycle', 'usetype', 'severity', 'servicio', 'tipodeservicio', 'exigencia'],
  status: ['status', 'state', 'condition', 'estado', 'estatus'],
  vin: ['vin', 'vincode', 'chassis', 'chassisnumber', 'niv', 'chasis', 'bastidor'],
  serialNumber: [
    'serial',
    'serialnumber',
    'sn',
    'pin',
    'productidentificationnumber',
    'serie',
    'numerodeserie',
  ],
  make: ['make', 'manufacturer', 'mfr', 'mfg', 'brand', 'marca', 'fabricante'],
  model: ['model', 'modelo'],
  modelYear: ['modelyear', 'year', 'yr', 'my', 'ano', 'anomodelo', 'anodelmodelo', 'modeloano'],
  mountedOn: ['mountedon', 'carrier', 'parentunit', 'installedon', 'montadoen', 'portador'],
  inUseMonths: ['inusemonths', 'monthsinuse', 'season', 'mesesdeuso', 'temporada'],
  inServiceOn: [
    ...['inserviceon', 'inservice', 'inservicedate', 'dateinservice', 'startdate', 'dateacquired'],
    ...['enserviciodesde', 'fechaenservicio', 'fechadealta', 'puestaenservicio'],
  ],
  inServiceOdometer: [
    ...['inserviceodometer', 'inservicemileage', 'startodometer', 'startingodometer', 'startingmileage'],
    ...['odometroinicial', 'kilometrajeinicial', 'millajeinicial'],
  ],
  inServiceEngineHours: [
    ...['inserviceenginehours', 'inservicehours', 'startinghours', 'starthours', 'horasiniciales'],
  ],
  expectedDailyDistance: [
    ...['expecteddailydistance', 'dailydistance', 'dailymileage', 'milesperday', 'kmperday'],
    ...['distanciadiaria', 'kilometrosdiarios', 'kilometrospordia', 'millaspordia'],
  ],
  expectedDailyEngineHours: [
    ...['expecteddailyenginehours', 'dailyhours', 'hoursperday', 'horasdiarias', 'horaspordia'],
  ],
  designLowTemperature: ['designlowtemperature', 'lowtemperature', 'winterlow', 'temperaturaminima'],
  readAt: [
    ...['readat', 'date', 'readdate', 'readingdate', 'dateread', 'readon', 'asof', 'asofdate', 'datetime'],
    ...['timestamp', 'time', 'fecha', 'fechadelectura', 'fechalectura', 'fechayhora', 'alafecha'],
  ],
  odometer: ODOMETER,
  engineHours: HOURS,
  hours: HOURS,
  odometerReplaced: ['odometerreplaced', 'newodometer', 'odometrocambiado'],
  engineHoursReplaced: ['enginehoursreplaced', 'hourmeterreplaced', 'horometrocambiado'],
  source: ['source', 'fuente', 'origen'],
  component: [
    ...['component', 'part', 'system', 'componente', 'pieza', 'parte', 'refaccion', 'repuesto', 'sistema'],
  ],
  item: ['item', 'position', 'which', 'posicion', 'articulo', 'cual'],
  action: [
    ...['action', 'work', 'workdone', 'workperformed', 'task', 'job', 'service', 'operation'],
    ...['accion', 'trabajo', 'trabajorealizado', 'servicio', 'tarea', 'operacion'],
  ],
  circuit: ['circuit', 'loop', 'circuito'],
  date: [
    ...['date', 'done', 'doneon', 'datedone', 'performedon', 'dateperformed', 'servicedate', 'dateofservice'],
    ...['completed', 'completedon', 'datecompleted', 'workdate', 'fecha', 'fechadeservicio', 'fechaservicio'],
    ...['realizado', 'hechoel'],
  ],
};

/** Words that change nothing about what a column is. */
const FILLERS = new Set([
  ...[
    'current',
    'latest',
    'last',
    'reading',
    'value',
    'home',
    'assigned',
    'present',
    'the',
    'of',
    'at',
    'name',
  ],
  ...[
    'no',
    'num',
    'number',
    'nr',
    'nbr',
    'numero',
    'actual',
    'ultimo',
    'ultima',
    'lectura',
    'nombre',
    'asignado',
  ],
  ...['de', 'del', 'la', 'el', 'los', 'las', 'code', 'codigo', 'id', 'total'],
]);

/** Headers that are counters by the unit in which they count. */
const COUNTED_IN: Readonly<Record<string, Unit>> = {
  ...{ miles: 'mi', mi: 'mi', millas: 'mi', km: 'km', kms: 'km', kilometers: 'km', kilometres: 'km' },
  ...{ kilometros: 'km', hours: 'h', hrs: 'h', horas: 'h' },
};

/** A header in words: lower case, without accents and marks. @example wordsOf('Último Kilometraje (km)') // ['ultimo', 'kilometraje', 'km'] */
export function wordsOf(text: string): string[] {
  return (
    text
      .replaceAll(/([\p{Ll}\d])(\p{Lu})/gu, '$1 $2')
      .normalize('NFD')
      .replaceAll(/\p{M}/gu, '')
      .toLowerCase()
      .match(/[\p{L}\d]+/gu) ?? []
  );
}

/** What a header may be, and how surely: 3 by its name, 2 without filling words. */
export interface NamedField {
  field: FieldName;
  unit: Unit | null;
  score: 2 | 3;
}

/** The unit in brackets behind a header, or as its last word; null when there is none. */
function unitBehind(header: string, dimension: Dimension): Unit | null {
  const bracketed = /[([]\s*([^)\]]*?)\s*[)\]]\s*$/.exec(header)?.[1];
  return unitNamed(bracketed ?? wordsOf(header).at(-1) ?? '', unitsOf(dimension));
}

/** The words of a header without a unit in brackets or at its end. */
function nameWords(header: string, unit: Unit | null): string[] {
  const words = wordsOf(header.replace(/\s*[([][^)\]]*[)\]]\s*$/, ''));
  const last = words.at(-1);
  const hasUnit = unit !== null && words.length > 1 && last !== undefined && isUnitWord(last, unit);
  return hasUnit ? words.slice(0, -1) : words;
}

const isUnitWord = (word: string, unit: Unit): boolean => unitNamed(word, [unit]) !== null;

function matchOf(header: string, { name, measure }: SheetField): NamedField | null {
  const dimension = measure === undefined ? null : dimensionOf(MEASURES[measure].canonical);
  const unit = dimension === null ? null : unitBehind(header, dimension);
  const words = nameWords(header, unit);
  if (words.length === 0) return null;
  const names = NAMES[name];
  if (names.includes(words.join('')) || words.join('') === name.toLowerCase())
    return { field: name, unit, score: 3 };
  const telling = words.filter((word) => !FILLERS.has(word));
  const rest = telling.length === 0 ? words : telling;
  const counted = rest.length === 1 ? COUNTED_IN[rest[0] ?? ''] : undefined;
  if (counted !== undefined && dimension !== null && ['odometer', 'engineHours', 'hours'].includes(name))
    if (dimensionOf(counted) === dimension) return { field: name, unit: counted, score: 2 };
  return names.includes(rest.join('')) ? { field: name, unit, score: 2 } : null;
}

/**
 * The fields of a kind that a header can be, the surest first.
 *
 * @example fieldsNamed('Unit No.', 'vehicles') // [{ field: 'unitNumber', unit: null, score: 2 }]
 */
export function fieldsNamed(header: string, kind: SheetKind): NamedField[] {
  return FIELDS[kind].flatMap((field) => matchOf(header, field) ?? []).sort((a, b) => b.score - a.score);
}
