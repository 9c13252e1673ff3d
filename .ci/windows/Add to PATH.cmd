@echo off
rem Lets you write turnwright in any command window, and lets every editor find it. It is written for you alone, so no
rem administrator is needed. "Remove from PATH.cmd" takes it back.
setlocal EnableExtensions DisableDelayedExpansion
set "here=%~dp0"
set "here=%here:~0,-1%"
set "kind=REG_EXPAND_SZ"
set "old="
for /f "tokens=1,2*" %%a in ('reg query HKCU\Environment /v Path 2^>nul') do (
    if /i "%%a"=="Path" set "kind=%%b"
    if /i "%%a"=="Path" set "old=%%c"
)
set "rest=%old%"
:look
if not defined rest goto add
for /f "tokens=1* delims=;" %%p in ("%rest%") do (
    set "part=%%p"
    set "rest=%%q"
)
if /i not "%part%"=="%here%" goto look
echo It is on your PATH already: %here%
goto end
:add
set "new=%here%"
if defined old set "new=%old%;%here%"
reg add HKCU\Environment /v Path /t %kind% /d "%new%" /f >nul
if errorlevel 1 goto failed
rem Setting any value this way tells the programs that run of the change.
setx TURNWRIGHT_FOLDER "%here%" >nul 2>nul
echo Added to your PATH: %here%
echo Windows that are open already do not know of it: open a new one and write  turnwright --version
goto end
:failed
echo Your PATH could not be written. Nothing was changed.
:end
if not defined TURNWRIGHT_QUIET pause
