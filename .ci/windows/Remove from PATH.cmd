@echo off
rem Takes back what "Add to PATH.cmd" did, for you alone.
setlocal EnableExtensions DisableDelayedExpansion
set "here=%~dp0"
set "here=%here:~0,-1%"
set "kind=REG_EXPAND_SZ"
set "rest="
for /f "tokens=1,2*" %%a in ('reg query HKCU\Environment /v Path 2^>nul') do (
    if /i "%%a"=="Path" set "kind=%%b"
    if /i "%%a"=="Path" set "rest=%%c"
)
set "new="
set "found="
:look
if not defined rest goto write
for /f "tokens=1* delims=;" %%p in ("%rest%") do (
    set "part=%%p"
    set "rest=%%q"
)
if /i "%part%"=="%here%" goto this
if defined new set "part=%new%;%part%"
set "new=%part%"
goto look
:this
set "found=yes"
goto look
:write
if not defined found goto not_there
rem A backslash in front of the closing quote would be read as part of it.
if defined new if "%new:~-1%"=="\" set "new=%new%;"
if defined new reg add HKCU\Environment /v Path /t %kind% /d "%new%" /f >nul
if not defined new reg delete HKCU\Environment /v Path /f >nul
if errorlevel 1 goto failed
reg delete HKCU\Environment /v TURNWRIGHT_FOLDER /f >nul 2>nul
echo Removed from your PATH: %here%
goto end
:not_there
echo It is not on your PATH: %here%
goto end
:failed
echo Your PATH could not be written. Nothing was changed.
:end
if not defined TURNWRIGHT_QUIET pause
