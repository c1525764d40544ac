import type { AttachmentSettings } from '../config/config.js';
import { DiskStore } from './disk-store.js';
import type { FileStore } from './file-store.js';

/** Opens the store from the settings: a bucket if one is set, otherwise a directory. */
export async function openFileStore({ directory, s3 }: AttachmentSettings): Promise<FileStore> {
  if (!s3) return new DiskStore(directory);
  // Loaded only when needed: the S3 client is large, and most installations have no bucket.
  const { S3Store } = await import('./s3-store.js');
  return new S3Store(s3);
}
