import { type Environment, wholeNumber } from './environment.js';

/** How many months to keep each kind of data; 0 means for good. */
export interface RetentionSettings {
  /** Who did a job, who signed in, and whom an expired or revoked token was for. */
  peopleMonths: number;
  /** People who left, from the day on which they left. */
  leftPeopleMonths: number;
  auditMonths: number;
  /** Photos and documents of jobs. */
  attachmentMonths: number;
}

/** @throws ConfigError when a setting cannot be used */
export function readRetentionSettings(env: Environment): RetentionSettings {
  return {
    peopleMonths: wholeNumber(env, 'RETENTION_PEOPLE_MONTHS', 0, 0, 1200),
    leftPeopleMonths: wholeNumber(env, 'RETENTION_LEFT_PEOPLE_MONTHS', 24, 0, 1200),
    auditMonths: wholeNumber(env, 'RETENTION_AUDIT_MONTHS', 0, 0, 1200),
    attachmentMonths: wholeNumber(env, 'RETENTION_ATTACHMENTS_MONTHS', 0, 0, 1200),
  };
}
