/** Texts on updates, browser features and stored data. Part of `../en.ts`. */
export const careWords = {
  support: {
    title: 'When something does not work',
    licences: 'Licences of the libraries in this app',
    hint: 'Copy this into your report. It tells of the browser, the room it has, the last connection, the devices used by cable and when files were received, without their names; nothing of you, your engines or your figures is in it.',
    copy: 'Copy it',
    copied: 'Copied.',
    notCopied: 'The browser would not copy it. Mark the text and copy it by hand.',
  },

  install: {
    title: 'Install Strokebook',
    why: 'It then opens from an icon, also without a network.',
    shareMenu:
      'Open the share menu and choose “Add to Home Screen”. It then opens from an icon, also without a network.',
    go: 'Install',
    never: 'Do not ask again',
  },
};
