import { messages } from '../../domain/message.js';
import { RECORDS } from '../../platform/problems/messages.js';

export const message = messages({
  'vehicle-names-itself': {},
  'vehicle-carries-others': {},
  'vehicle-carrier-disposed': { carrier: 'text' },
  'vehicle-carrier-mounted': { carrier: 'text' },
  'vehicle-carrier-not-taken': { carrier: 'text', line: 'number' },
  'vehicle-carries-units': { vehicle: 'text', units: 'list' },
  'vehicle-change-to-come': { date: 'text' },
  'vehicle-change-out-of-order': { date: 'text', last: 'text' },
  'vehicle-has-history': {},
  'vehicle-vin-taken-by': { holder: 'text' },
  'vehicle-vin-taken-by-here': { holder: 'text' },
  'vehicle-name-unknown': { what: RECORDS, meant: 'text' },
  'vehicle-known-otherwise': { columns: 'list', id: 'text' },
  'vehicle-on-other-line': { first: 'number', line: 'number' },
  'vehicle-months-unreadable': { given: 'text' },
  'column-id-given-here': {},
  'column-version-counted-here': {},
});
