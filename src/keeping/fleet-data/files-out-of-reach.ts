/**
 * Attachments are on record, but the storage location in the settings has no files of the fleet.
 */
export class FilesOutOfReach extends Error {
  constructor(fleetId: string) {
    super(
      `Attachments of the fleet ${fleetId} are on record, and this command does not see their files. Run it where the API keeps them: with its ATTACHMENTS_DIR or ATTACHMENTS_S3_BUCKET.`,
    );
  }
}
