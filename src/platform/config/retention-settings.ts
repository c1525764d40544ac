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
  const months = (name: string): number => wholeNumber(env, name, 0, 0, 1200);
  return {
    peopleMonths: months('RETENTION_PEOPLE_MONTHS'),
    auditMonths: months('RETENTION_AUDIT_MONTHS'),
    attachmentMonths: months('RETENTION_ATTACHMENTS_MONTHS'),
  };
}
