/** Keeps the chosen folder and what is known of it, in a small database of its own. */
import { openDB } from 'idb';
import { type FolderMemory, NO_MEMORY } from './folder.ts';

export interface KeptFolder {
  readonly handle: FileSystemDirectoryHandle;
  readonly memory: FolderMemory;
}

const open = () =>
  openDB<{ folder: { key: string; value: KeptFolder } }>('strokebook-folder', 1, {
    upgrade: (db) => void db.createObjectStore('folder'),
  });

/** `null` when no folder was chosen, or the browser cannot keep it. */
export async function keptFolder(): Promise<KeptFolder | null> {
  try {
    const db = await open();
    const kept = await db.get('folder', 'chosen');
    db.close();
    return kept ?? null;
  } catch {
    return null;
  }
}

export async function keepFolder(
  handle: FileSystemDirectoryHandle,
  memory: FolderMemory = NO_MEMORY,
): Promise<void> {
  const db = await open();
  await db.put('folder', { handle, memory }, 'chosen');
  db.close();
}

export async function forgetFolder(): Promise<void> {
  const db = await open();
  await db.clear('folder');
  db.close();
}
