import { type Environment, wholeNumber } from './environment.js';

/** For how many months what is kept of people; 0: for good. */
export interface RetentionSettings {
  /** Who did a job, who signed in, whom a token that is over was for. */
  peopleMonths: number;
  auditMonths: number;
  /** Photos and papers of jobs. */
  attachmentMonths: number;
}

/** @throws ConfigError when a setting cannot be used */
export function readRetentionSettings(env: Environment): RetentionSettings {
  return {
    peopleMonths: wholeNumber(env, 'RETENTION_PEOPLE_MONTHS', 0, 0, 1200),
    auditMonths: wholeNumber(env, 'RETENTION_AUDIT_MONTHS', 0, 0, 1200),
    attachmentMonths: wholeNumber(env, 'RETENTION_ATTACHMENTS_MONTHS', 0, 0, 1200),
  };
}
