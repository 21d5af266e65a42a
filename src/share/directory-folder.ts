/** A directory as a shared folder. */
import type { SharedFolder } from './folder.ts';

export function directoryFolder(handle: FileSystemDirectoryHandle): SharedFolder {
  return {
    async names() {
      const names: string[] = [];
      for await (const [name, entry] of handle.entries()) if (entry.kind === 'file') names.push(name);
      return names;
    },
    read: async (name) => (await handle.getFileHandle(name)).getFile(),
    async write(name, content) {
      const file = await handle.getFileHandle(name, { create: true });
      // The stream replaces the file only when it is closed.
      const stream = await file.createWritable();
      try {
        await stream.write(content);
        await stream.close();
      } catch (cause) {
        await stream.abort().catch(() => undefined);
        throw cause;
      }
    },
  };
}
