import type { AUDITED } from './audited.js';

type Kind = (typeof AUDITED)[number];

/** Reads a name from the row of a table that an entry is about. */
const nameIn = (table: string, name = 's.name'): string =>
  `(select ${name} from ${table} s where s.fleet_id = $1 and s.id = e.subject_id)`;

/** Reads the unit number of the vehicle that a row is about. */
const unitIn = (table: string): string =>
  `(select v.unit_number from ${table} s join vehicles v on v.fleet_id = $1 and v.id = s.vehicle_id where s.fleet_id = $1 and s.id = e.subject_id)`;

/** An address may carry a secret, so that of a webhook is told by its host. */
const TARGET = `case s.kind when 'email' then s.address else substring(s.address from '^https?://(?:[^/@]*@)?([^/?#]+)') end`;

const OF_PERSON = (table: string): string =>
  `(select h.name from ${table} s join people h on h.fleet_id = $1 and h.id = s.person_id where s.fleet_id = $1 and s.id = e.subject_id)`;

/** How a record of each kind is called; kinds without a line have no name. */
const NAMES: Partial<Record<Kind, string>> = {
  fleet: '(select s.name from fleets s where s.id = $1)',
  depot: nameIn('depots'),
  'spec-sheet': nameIn('spec_sheets'),
  'interval-plan': nameIn('interval_plans'),
  vehicle: nameIn('vehicles', 's.unit_number'),
  'vehicle-label': unitIn('vehicle_labels'),
  'reminder-target': nameIn('reminder_targets', TARGET),
  token: nameIn('access_tokens'),
  person: nameIn('people'),
  'sign-in-link': OF_PERSON('sign_in_links'),
  session: OF_PERSON('sessions'),
  'telematics-source': nameIn('telematics_sources'),
  'telematics-machine': unitIn('telematics_machines'),
  'usage-reading': unitIn('usage_readings'),
  'job-report': unitIn('job_reports'),
  defect: unitIn('defects'),
  'due-line': nameIn('due_lines', 's.unit_number'),
  'loss-alert': unitIn('loss_alerts'),
  visit: unitIn('visits'),
  import: nameIn('imports', 's.file_name'),
};

const cases = Object.entries(NAMES).map(([kind, name]) => `when '${kind}' then ${name}`);

/** What a record is called that is gone: as the entry has it. */
const LAST_NAME = ['name', 'unit_number']
  .flatMap((field) => ['from', 'to'].map((when) => `e.changes -> '${field}' ->> '${when}'`))
  .join(', ');

/** SQL: what an audit entry `e` is about, by name. It reads one row by its key. */
export const SUBJECT_NAME = `coalesce(case e.kind ${cases.join(' ')} end, ${LAST_NAME})`;
