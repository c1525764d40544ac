import type { QueryFailedError } from 'typeorm';
import { kindOf, message, type RecordName } from './messages.js';
import { conflict, noSuch, Problem, unacceptable } from './problem.js';

/** The problem for each constraint that a request can violate. */
const MEANINGS: Record<string, () => Problem> = {
  depots_name_uq: () => nameTaken('depot'),
  spec_sheets_name_uq: () => nameTaken('spec sheet'),
  interval_plans_name_uq: () => nameTaken('interval plan'),
  telematics_sources_name_uq: () => nameTaken('telematics source'),
  vehicles_unit_number_uq: () =>
    conflict('unit-number-taken', message('unit-number-taken'), [
      { pointer: '/unitNumber', detail: message('taken-by-other-vehicle') },
    ]),
  vehicles_vin_uq: () =>
    conflict('vin-taken', message('vin-taken'), [
      { pointer: '/vin', detail: message('taken-by-other-vehicle') },
    ]),
  people_badge_uq: () =>
    conflict('badge-taken', message('badge-taken'), [
      { pointer: '/badge', detail: message('taken-by-other-person') },
    ]),
  vehicles_depot_fk: () => missing('/depotId', 'depot'),
  vehicles_spec_sheet_fk: () => missing('/specSheetId', 'spec sheet'),
  vehicles_interval_plan_fk: () => missing('/intervalPlanId', 'interval plan'),
  vehicles_mounted_on_fk: () => missing('/mountedOn', 'vehicle'),
  defects_pk: () => defectIdTaken(),
  job_reports_pk: () => reportIdTaken(),
  job_lines_pk: () => reportIdTaken(),
  job_reports_depot_fk: () => missing('/workedAtDepotId', 'depot'),
};

/** The problem when a record of the kind has the name already. */
export function nameTaken(name: RecordName, pointer = '/name'): Problem {
  const what = kindOf(name);
  return conflict('name-taken', message('name-taken', { what }), [
    { pointer, detail: message('name-taken-here', { what }) },
  ]);
}

/**
 * The problem when a report's id is already in use. The answer is the same whether the token can
 * see the other report or not, and says nothing about it. Otherwise it would reveal other depots'
 * reports.
 */
export function reportIdTaken(): Problem {
  return conflict('report-id-taken', message('report-id-taken'), [
    { pointer: '/id', detail: message('report-id-taken-here') },
  ]);
}

/** Like `reportIdTaken`, for a defect. */
export function defectIdTaken(): Problem {
  return conflict('defect-id-taken', message('defect-id-taken'), [
    { pointer: '/id', detail: message('defect-id-taken-here') },
  ]);
}

function missing(pointer: string, what: RecordName): Problem {
  return unacceptable([{ pointer, detail: noSuch(what) }]);
}

/**
 * The problem when a record cannot be deleted because a vehicle was once assigned to it. The
 * vehicle's history still refers to it.
 */
export function keptByHistory(): Problem {
  return conflict('in-use', message('referred-to-by-history'));
}

const FOREIGN_KEY = '23503';
const OUT_OF_RANGE = /^22(003|008|007|P02|021|P05)$/;

/** The problem for a failed statement; null when it is not the request's fault. */
export function constraintProblem(error: QueryFailedError): Problem | null {
  const { code, constraint, detail } = error.driverError as {
    code?: string;
    constraint?: string;
    detail?: string;
  };
  // Deleting a row that others refer to violates their foreign key. The message then says "is still
  // referenced".
  if (code === FOREIGN_KEY && detail?.includes('still referenced')) {
    return conflict('in-use', message('referred-to'));
  }
  const meaning = constraint ? MEANINGS[constraint] : undefined;
  if (meaning) return meaning();
  if (code && OUT_OF_RANGE.test(code))
    return new Problem(422, 'unacceptable-content', message('value-cannot-be-stored'));
  return null;
}
