import { Inject, Module, type OnApplicationShutdown } from '@nestjs/common';
import { Config } from '../config/config.js';
import { DiskStore } from './disk-store.js';
import { FileStore } from './file-store.js';
import { IncomingFiles } from './incoming-files.js';

/** Where files go: a directory, or a bucket where one is set. */
@Module({
  providers: [
    {
      provide: FileStore,
      inject: [Config],
      useFactory: async ({ attachments: { directory, s3 } }: Config): Promise<FileStore> => {
        if (!s3) return new DiskStore(directory);
        // Its client is large, and most have no bucket.
        const { S3Store } = await import('./s3-store.js');
        return new S3Store(s3);
      },
    },
    IncomingFiles,
  ],
  exports: [FileStore, IncomingFiles],
})
export class StorageModule implements OnApplicationShutdown {
  constructor(@Inject(FileStore) private readonly store: FileStore) {}

  onApplicationShutdown(): void {
    this.store.close();
  }
}
