/** The File System Access API, of which browsers have different parts. */

interface WithPicker {
  showDirectoryPicker?: (options: { id: string; mode: 'readwrite' }) => Promise<FileSystemDirectoryHandle>;
}
interface WithPermission {
  requestPermission?: (options: { mode: 'readwrite' }) => Promise<PermissionState>;
}

/** Whether the browser can choose a folder. */
export const canChooseDirectory = (): boolean => 'showDirectoryPicker' in globalThis;

/** Shows the folder dialog; `null` when none was chosen. Needs a user gesture. */
export async function chooseDirectory(): Promise<FileSystemDirectoryHandle | null> {
  const { showDirectoryPicker } = globalThis as WithPicker;
  return (await showDirectoryPicker?.({ id: 'share', mode: 'readwrite' }).catch(() => null)) ?? null;
}

/** Asks again for a folder chosen earlier. Needs a user gesture. */
export async function mayWrite(handle: FileSystemDirectoryHandle): Promise<boolean> {
  const { requestPermission } = handle as WithPermission;
  return (
    requestPermission === undefined ||
    (await requestPermission.call(handle, { mode: 'readwrite' })) === 'granted'
  );
}
