;;; turnwright.el --- CNC lathe part programs with a language server -*- lexical-binding: t; -*-

;; Package-Requires: ((emacs "27.1"))

;;; Commentary:

;; A major mode for turning programs, and Turnwright as its server for eglot and for lsp-mode, whichever is there.
;; Put this file on your load path and (require 'turnwright) in your init file.

;;; Code:

(defgroup turnwright nil "CNC lathe part programs." :group 'languages)

(defcustom turnwright-command '("turnwright" "serve")
  "Program and arguments that start the server on standard input and output."
  :type '(repeat string))

(defconst turnwright-number "[ \t]*[-+]?[ \t]*\\(?:[0-9]+\\.?[0-9]*\\|\\.[0-9]+\\)"
  "A value behind its letter.")

(defvar turnwright-font-lock
  `(("([^)\n]*)?" . font-lock-comment-face)
    (,(concat "^[ \t]*/?[ \t]*N" turnwright-number) . font-lock-constant-face)
    ("^[ \t]*[O:][ \t]*[0-9]+" . font-lock-function-name-face)
    ("%" . font-lock-preprocessor-face)
    (,(concat "G" turnwright-number) . font-lock-keyword-face)
    (,(concat "M" turnwright-number) . font-lock-builtin-face)
    (,(concat "T" turnwright-number) . font-lock-type-face)
    ("\\_<\\(?:IF\\|THEN\\|GOTO\\|WHILE\\|DO\\|END\\)" . font-lock-keyword-face)
    ("#[0-9]+" . font-lock-variable-name-face)
    (,(concat "[SF]" turnwright-number) . font-lock-string-face))
  "Colours for `turning-mode'.")

;;;###autoload
(define-derived-mode turning-mode prog-mode "Turning"
  "Major mode for CNC lathe part programs."
  (setq-local comment-start "("
              comment-end ")"
              comment-start-skip "(+[ \t]*"
              comment-end-skip "[ \t]*)"
              truncate-lines t)
  ;; Notes are matched here, not by syntax: an unclosed note must not colour the lines below it.
  (setq-local font-lock-defaults '(turnwright-font-lock t t)))

;;;###autoload
(progn
  (add-to-list 'auto-mode-alist '("\\.\\(?:nc\\|cnc\\|tap\\|eia\\)\\'" . turning-mode))
  (add-to-list 'auto-mode-alist '("/[Oo][0-9]+\\'" . turning-mode))
  (add-to-list 'magic-fallback-mode-alist '("[ \t\r\n]*\\(?:%[ \t]*$\\|[Oo:][0-9]+[ \t]*\\(?:(\\|$\\)\\)" . turning-mode)))

(defvar eglot-server-programs)
(with-eval-after-load 'eglot
  (add-to-list 'eglot-server-programs
               `(turning-mode . ,(lambda (&rest _) turnwright-command)))
  ;; Older eglot takes the language id from the mode's name; this says it for all.
  (put 'turning-mode 'eglot-language-id "turning"))

(defvar lsp-language-id-configuration)
(declare-function lsp-register-client "lsp-mode")
(declare-function make-lsp-client "lsp-mode")
(declare-function lsp-stdio-connection "lsp-mode")
(declare-function lsp-activate-on "lsp-mode")
(with-eval-after-load 'lsp-mode
  (add-to-list 'lsp-language-id-configuration '(turning-mode . "turning"))
  (lsp-register-client
   (make-lsp-client :new-connection (lsp-stdio-connection (lambda () turnwright-command))
                    :activation-fn (lsp-activate-on "turning")
                    :server-id 'turnwright)))

(provide 'turnwright)
;;; turnwright.el ends here
