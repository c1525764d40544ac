import { Choice } from '../fields/fields.js';

/** Whether a change is only to be tried out. */
export class DryRunQueryDto {
  @Choice(['true', 'false'], { optional: true, description: 'true: say what it would do, and keep nothing' })
  dryRun?: string;
}
