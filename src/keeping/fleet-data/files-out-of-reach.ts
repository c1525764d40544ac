import { ConfigError } from '../../platform/config/config.js';
import { message } from './messages.js';

/**
 * Attachments are on record, but the storage location in the settings has no files of the fleet.
 */
export class FilesOutOfReach extends ConfigError {
  constructor(fleetId: string) {
    super(message('command-files-out-of-reach', { fleet: fleetId }));
  }
}
