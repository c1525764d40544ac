import { type Environment, wholeNumber } from './environment.js';
import { publicUrl } from './public-url.js';

/** The labels on vehicles, and the page that they lead to. */
export interface LabelSettings {
  /**
   * The address that drivers reach the service at, without a path; null: the one that the request
   * for a label came to.
   */
  publicUrl: string | null;
  /** Requests per minute to the pages of labels from one address; 0 means no limit. */
  requestsPerMinute: number;
  /** Reports per minute by the label of one vehicle; 0 means no limit. */
  reportsPerMinute: number;
}

/** @throws ConfigError when a setting cannot be used */
export function readLabelSettings(env: Environment): LabelSettings {
  return {
    publicUrl: publicUrl(env.PUBLIC_URL ?? ''),
    requestsPerMinute: wholeNumber(env, 'LABEL_REQUESTS_PER_MINUTE', 60, 0, 1_000_000),
    reportsPerMinute: wholeNumber(env, 'LABEL_REPORTS_PER_MINUTE', 6, 0, 1_000_000),
  };
}
