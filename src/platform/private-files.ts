/** Small files in folders that only this app sees, apart from its database: the browser's origin private file system. */
export interface PrivateFiles {
  /** The whole file is on disk when this resolves, or none of it. Overwrites. Rejects when the browser refuses. */
  write(folder: string, name: string, bytes: Uint8Array): Promise<void>;
  folders(): Promise<readonly string[]>;
  /** All files of a folder by name, in the order of their names. Empty when there is no such folder. */
  read(folder: string): Promise<ReadonlyMap<string, Uint8Array>>;
  remove(folder: string): Promise<void>;
}

/** `null` where the browser has none, or none that the page itself can write. `root`: a folder of its own for these. */
export function createPrivateFiles(root: string): PrivateFiles | null {
  const storage = navigator.storage as Partial<StorageManager> | undefined;
  if (!storage?.getDirectory || !('createWritable' in FileSystemFileHandle.prototype)) return null;
  const top = async (): Promise<FileSystemDirectoryHandle> =>
    (await navigator.storage.getDirectory()).getDirectoryHandle(root, { create: true });
  return {
    async write(folder, name, bytes) {
      const directory = await (await top()).getDirectoryHandle(folder, { create: true });
      const file = await directory.getFileHandle(name, { create: true });
      // What is written takes the file's place when it is closed, not before.
      const stream = await file.createWritable();
      try {
        await stream.write(new Uint8Array(bytes));
        await stream.close();
      } catch (cause) {
        await stream.abort().catch(() => undefined);
        throw cause;
      }
    },
    async folders() {
      const names: string[] = [];
      for await (const [name, handle] of (await top()).entries())
        if (handle.kind === 'directory') names.push(name);
      return names;
    },
    async read(folder) {
      const found = new Map<string, Uint8Array>();
      let directory: FileSystemDirectoryHandle;
      try {
        directory = await (await top()).getDirectoryHandle(folder);
      } catch {
        return found;
      }
      for await (const [name, handle] of directory.entries()) {
        if (handle.kind !== 'file') continue;
        const file = await (handle as FileSystemFileHandle).getFile();
        found.set(name, new Uint8Array(await file.arrayBuffer()));
      }
      return new Map([...found].sort(([a], [b]) => (a < b ? -1 : 1)));
    },
    async remove(folder) {
      await (await top()).removeEntry(folder, { recursive: true }).catch(() => undefined);
    },
  };
}
