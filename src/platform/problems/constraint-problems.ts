import type { QueryFailedError } from 'typeorm';
import { conflict, Problem, unacceptable } from './problem.js';

/**
 * What a violated constraint means to whoever sent the request; one entry for each constraint that
 * a request can violate.
 */
const MEANINGS: Record<string, () => Problem> = {
  depots_name_uq: () =>
    conflict('name-taken', 'There is a depot of this name already.', [
      { pointer: '/name', detail: 'is taken by another depot' },
    ]),
  spec_sheets_name_uq: () =>
    conflict('name-taken', 'There is a spec sheet of this name already.', [
      { pointer: '/name', detail: 'is taken by another spec sheet' },
    ]),
  interval_plans_name_uq: () =>
    conflict('name-taken', 'There is an interval plan of this name already.', [
      { pointer: '/name', detail: 'is taken by another interval plan' },
    ]),
  vehicles_unit_number_uq: () =>
    conflict('unit-number-taken', 'Another vehicle of this fleet carries this unit number.', [
      { pointer: '/unitNumber', detail: 'is taken by another vehicle' },
    ]),
  vehicles_vin_uq: () =>
    conflict('vin-taken', 'Another vehicle of this fleet carries this VIN.', [
      { pointer: '/vin', detail: 'is taken by another vehicle' },
    ]),
  vehicles_depot_fk: () => missing('/depotId', 'depot'),
  vehicles_spec_sheet_fk: () => missing('/specSheetId', 'spec sheet'),
  vehicles_interval_plan_fk: () => missing('/intervalPlanId', 'interval plan'),
  vehicles_mounted_on_fk: () => missing('/mountedOn', 'vehicle'),
  job_reports_pk: () => reportIdTaken(),
  job_lines_pk: () => reportIdTaken(),
  job_reports_depot_fk: () => missing('/workedAtDepotId', 'depot'),
};

/**
 * Answered alike where the token sees the other report and where that is another depot's: which
 * of the two it is, and what the report says, is not told.
 */
export function reportIdTaken(): Problem {
  return conflict(
    'report-id-taken',
    'This id belongs to another job report. Use a new id for a new report.',
    [{ pointer: '/id', detail: 'belongs to another job report; use a new id' }],
  );
}

function missing(pointer: string, what: string): Problem {
  return unacceptable([{ pointer, detail: `there is no such ${what} in this fleet` }]);
}

const FOREIGN_KEY = '23503';
const OUT_OF_RANGE = /^22(003|008|007|P02|021|P05)$/;

/** The problem a failed statement stands for, or null when it is not the request's fault. */
export function constraintProblem(error: QueryFailedError): Problem | null {
  const { code, constraint, detail } = error.driverError as {
    code?: string;
    constraint?: string;
    detail?: string;
  };
  // Deleting a row that others refer to violates their foreign key; the message says "is still
  // referenced".
  if (code === FOREIGN_KEY && detail?.includes('still referenced')) {
    return conflict('in-use', 'Other records refer to it, so it cannot be deleted.');
  }
  const meaning = constraint ? MEANINGS[constraint] : undefined;
  if (meaning) return meaning();
  if (code && OUT_OF_RANGE.test(code))
    return new Problem(422, 'unacceptable-content', 'A value is outside what can be stored.');
  return null;
}
