//! Arguments of the command that sets up a shell.

use std::path::PathBuf;

use clap::Args;
use clap_complete::Shell;

#[derive(Debug, Args)]
#[command(
    group = clap::ArgGroup::new("what").required(true),
    after_long_help = "\
Examples:
  coldring shell --out ~/.local              for yourself
  coldring shell --out /usr/local            for everybody, as root
  coldring shell bash > coldring.bash        one script, to put where you like

Files go where shells and man look under a prefix, DIR:
  share/bash-completion/completions/coldring
  share/zsh/site-functions/_coldring
  share/fish/vendor_completions.d/coldring.fish
  share/powershell/coldring.ps1
  share/man/man1/coldring.1, coldring-build.1, ...
  share/man/man5/coldring-spec.5, ...
bash needs the package bash-completion. For zsh add this to ~/.zshrc before compinit:
  fpath=(~/.local/share/zsh/site-functions $fpath)
PowerShell reads it from your profile:
  . ~/.local/share/powershell/coldring.ps1
man looks beside the folder of the program: ~/.local/share/man, where ~/.local/bin is on
the path. After an update of coldring, write them again.

Exit code: 0 written, 2 could not run."
)]
pub(crate) struct ShellArguments {
    /// Print the completions of this shell
    #[arg(value_enum, value_name = "SHELL", group = "what")]
    pub(crate) shell: Option<Shell>,
    /// Write the completions of bash, zsh, fish and PowerShell, and a man page for each command,
    /// below this folder
    #[arg(long, value_name = "DIR", group = "what")]
    pub(crate) out: Option<PathBuf>,
}
