/** Small files in folders, separate from the database: the browser's origin private file system. */
export interface PrivateFiles {
  /**
   * Writes or overwrites a file, completely or not at all. Resolves when it is on disk. Rejects when the browser
   * refuses.
   */
  write(folder: string, name: string, bytes: Uint8Array): Promise<void>;
  /** Names of all folders. */
  folders(): Promise<readonly string[]>;
  /** Contents of a folder's files by name, sorted by name. Empty when there is no such folder. */
  read(folder: string): Promise<ReadonlyMap<string, Uint8Array>>;
  /** Removes a folder with its files. Errors are ignored. */
  remove(folder: string): Promise<void>;
}

/**
 * `null` where the browser has no such file system, or the page cannot write to it. `root`: folder that contains all
 * others.
 */
export function createPrivateFiles(root: string): PrivateFiles | null {
  const storage = navigator.storage as Partial<StorageManager> | undefined;
  if (!storage?.getDirectory || !('createWritable' in FileSystemFileHandle.prototype)) return null;
  const top = async (): Promise<FileSystemDirectoryHandle> =>
    (await navigator.storage.getDirectory()).getDirectoryHandle(root, { create: true });
  return {
    async write(folder, name, bytes) {
      const directory = await (await top()).getDirectoryHandle(folder, { create: true });
      const file = await directory.getFileHandle(name, { create: true });
      // The stream replaces the file only when it is closed.
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
