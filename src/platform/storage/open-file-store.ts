import type { AttachmentSettings } from '../config/config.js';
import { DiskStore } from './disk-store.js';
import type { FileStore } from './file-store.js';

/** The store that the settings name: a directory, or a bucket where one is set. */
export async function openFileStore({ directory, s3 }: AttachmentSettings): Promise<FileStore> {
  if (!s3) return new DiskStore(directory);
  // Its client is large, and most have no bucket.
  const { S3Store } = await import('./s3-store.js');
  return new S3Store(s3);
}
