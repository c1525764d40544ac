import { CreateSchema1795600000000 } from './1795600000000-create-schema.js';
import { AddConditionLimits1795690000000 } from './1795690000000-add-condition-limits.js';
import { LinkJobReports1795740000000 } from './1795740000000-link-job-reports.js';
import { AddAttachments1795740100000 } from './1795740100000-add-attachments.js';

/** In the order in which they are applied. */
export const migrations = [
  CreateSchema1795600000000,
  AddConditionLimits1795690000000,
  LinkJobReports1795740000000,
  AddAttachments1795740100000,
];
