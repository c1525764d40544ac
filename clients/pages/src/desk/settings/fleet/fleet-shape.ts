import { DRIVER_LABELS } from '../../../../../../src/domain/defects/label-report.js';
import { COMMON_PRACTICE } from '../../../../../../src/domain/evaluation/common-practice.js';
import { LANGUAGE_NAMES } from '../../../kit/parts/shell.js';
import { LANGUAGES } from '../../../kit/texts/loaded-languages.js';
import type { Choices, Shape } from '../../record-form/shape.js';
import { message } from './messages.js';
import { PRACTICE_UNITS, type PracticeName } from './practice-units.js';

/** All zones that the browser knows, and the fleet's own. */
function zones(own: string): Choices {
  const all = new Set([...Intl.supportedValuesOf('timeZone'), 'UTC', own]);
  return [...all].sort().map((zone) => [zone, zone]);
}

const practice: Shape = (Object.keys(COMMON_PRACTICE) as PracticeName[]).map((name) => ({
  ...{ is: 'number', name, label: message(`desk-fleet-practice-${name}`) },
  unit: PRACTICE_UNITS[name],
}));

/** What a fleet decides for itself. */
export const fleetShape = (timeZone: string): Shape => [
  { is: 'text', name: 'name', label: message('desk-fleet-name') },
  {
    ...{ is: 'choice', name: 'timeZone', label: message('desk-fleet-time-zone') },
    ...{ preset: timeZone, choices: zones(timeZone) },
  },
  {
    ...{ is: 'choice', name: 'units', preset: 'us', label: message('desk-fleet-units') },
    choices: [
      ['us', message('desk-fleet-units-us')],
      ['si', message('desk-fleet-units-si')],
    ],
  },
  {
    ...{ is: 'choice', name: 'language', preset: 'en', label: message('desk-fleet-language') },
    choices: LANGUAGES.map((language) => [language, LANGUAGE_NAMES[language]]),
  },
  {
    ...{ is: 'choice', name: 'driverLabels', preset: 'none', label: message('desk-fleet-labels') },
    choices: DRIVER_LABELS.map((what) => [what, message(`desk-fleet-labels-${what}`)]),
  },
  { is: 'group', name: 'defaults', shape: practice, label: message('desk-fleet-practice') },
];
