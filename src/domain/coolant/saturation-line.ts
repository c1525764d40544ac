import { ImpossibleValue } from '../impossible-value.js';
import { requireFinite } from '../quantities/plausible.js';
import { ICE_POINT_K } from '../quantities/units.js';
import { message } from './messages.js';

const N1 = 0.11670521452767e4;
const N2 = -0.72421316703206e6;
const N3 = -0.17073846940092e2;
const N4 = 0.1202082470247e5;
const N5 = -0.32325550322333e7;
const N6 = 0.1491510861353e2;
const N7 = -0.48232657361591e4;
const N8 = 0.40511340542057e6;
const N9 = -0.23855557567849;
const N10 = 0.65017534844798e3;
const LOWEST_K = ICE_POINT_K;
const HIGHEST_K = 647.096;
const LOWEST_KPA = 0.611213;
const HIGHEST_KPA = 22_064;

/**
 * Vapour pressure of water at a temperature: what an evacuated system cannot be pulled below, and
 * at what pressure it boils.
 *
 * Source: IAPWS R7-97(2012), Industrial Formulation IF97, region 4, saturation-pressure equation.
 *
 * @param temperatureC °C, 0 to 373.946
 * @returns kPa absolute
 * @throws ImpossibleValue outside the published range, 273.15 to 647.096 K.
 * @example saturationPressureKpa(60) // 19.94580
 */
export function saturationPressureKpa(temperatureC: number): number {
  const temperatureK = requireFinite('temperature', temperatureC) + ICE_POINT_K;
  if (temperatureK < LOWEST_K || temperatureK > HIGHEST_K) {
    throw new ImpossibleValue({
      field: 'temperature',
      value: { value: temperatureC, unit: 'C' },
      limit: { min: { value: 0, unit: 'C' }, max: { value: 373.946, unit: 'C' } },
      detail: message('saturation-line-temperature', { value: temperatureC }),
    });
  }
  const theta = temperatureK + N9 / (temperatureK - N10);
  const a = theta ** 2 + N1 * theta + N2;
  const b = N3 * theta ** 2 + N4 * theta + N5;
  const c = N6 * theta ** 2 + N7 * theta + N8;
  return 1000 * ((2 * c) / (-b + Math.sqrt(b ** 2 - 4 * a * c))) ** 4;
}

/**
 * Boiling point of water at a pressure.
 *
 * Source: IAPWS R7-97(2012), Industrial Formulation IF97, region 4, saturation-temperature
 * equation.
 *
 * @param absoluteKpa kPa absolute, 0.611213 to 22064
 * @returns °C
 * @throws ImpossibleValue outside the published range, 611.213 Pa to 22.064 MPa.
 * @example boilingPointC(101.325) // 99.9743
 */
export function boilingPointC(absoluteKpa: number): number {
  requireFinite('pressure', absoluteKpa);
  if (absoluteKpa < LOWEST_KPA || absoluteKpa > HIGHEST_KPA) {
    throw new ImpossibleValue({
      field: 'pressure',
      value: { value: absoluteKpa, unit: 'kPa' },
      limit: { min: { value: 0.611213, unit: 'kPa' }, max: { value: 22_064, unit: 'kPa' } },
      detail: message('saturation-line-pressure', { value: absoluteKpa }),
    });
  }
  const beta = (absoluteKpa / 1000) ** 0.25;
  const e = beta ** 2 + N3 * beta + N6;
  const f = N1 * beta ** 2 + N4 * beta + N7;
  const g = N2 * beta ** 2 + N5 * beta + N8;
  const d = (2 * g) / (-f - Math.sqrt(f ** 2 - 4 * e * g));
  return (N10 + d - Math.sqrt((N10 + d) ** 2 - 4 * (N9 + N10 * d))) / 2 - ICE_POINT_K;
}
